/** Exit statuses of the command, the same for every subcommand. */
export const EXIT = { done: 0, someRefused: 1, badInput: 2, cannotStart: 3 } as const;
export type ExitStatus = (typeof EXIT)[keyof typeof EXIT];

/** A failure that a person can act on: one or two lines, no stack trace, an exit status. */
export class CommandFailure extends Error {
  readonly status: ExitStatus;

  constructor(status: ExitStatus, message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = 'CommandFailure';
    this.status = status;
  }
}
