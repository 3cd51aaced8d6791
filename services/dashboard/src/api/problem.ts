/** What went wrong with a request, in sentences for the person at the screen. */

export interface ProblemDetails {
  readonly title?: string;
  readonly detail?: string;
  /** With status 400: each thing that is wrong and where. */
  readonly errors?: readonly { readonly path: string; readonly message: string }[];
  readonly retryAfterSeconds?: number;
}

export class ApiFailure extends Error {
  /** HTTP status; 0 when the server could not be reached. */
  readonly status: number;
  /** What to do about it. */
  readonly advice: string;

  constructor(status: number, sentence: string, advice: string) {
    super(sentence);
    this.name = 'ApiFailure';
    this.status = status;
    this.advice = advice;
  }
}

const ended = (text: string): string => (/[.!?]$/.test(text) ? text : `${text}.`);

const SAID: Readonly<Record<number, readonly [sentence: string, advice: string]>> = {
  0: [
    'The server cannot be reached.',
    'Check the connection of this device; what is on the screen may be old. It is tried again.',
  ],
  401: ['You are not signed in, or the name and password do not fit.', 'Sign in again.'],
  403: [
    'Your role does not allow this.',
    'Ask the service office to do it, or to give you another role.',
  ],
  404: [
    'This is not known to the server, or not among the sites you may read.',
    'Check the address, or go back to the list of units.',
  ],
  409: ['This has changed in the meantime.', 'Nothing was done; look at how it stands now.'],
};

function refusedInput({ detail, title, errors = [] }: ProblemDetails): string {
  const faults = errors.map(({ path, message }) => (path === '' ? message : `${path} ${message}`));
  if (faults.length > 0) return ended(`Not accepted: ${faults.join('; ')}`);
  return ended(detail ?? title ?? 'The server refused what was entered');
}

/** Where the API's own title says what was wrong and its detail what to do. */
const WELL_SAID: ReadonlySet<number> = new Set([401, 403, 409]);

/** The failure of a call that was answered with `status` (0: not at all). */
export function failureOf(status: number, problem: ProblemDetails): ApiFailure {
  const { title, detail, retryAfterSeconds } = problem;
  if (status === 429) {
    const wait = retryAfterSeconds === undefined ? 'a minute' : `${retryAfterSeconds} seconds`;
    const sentence = detail ?? 'Too many tries in a short time';
    return new ApiFailure(status, ended(sentence), `Wait ${wait}, then try again.`);
  }
  if (status === 400 || status === 422) {
    return new ApiFailure(status, refusedInput(problem), 'Correct it and send it again.');
  }
  if (WELL_SAID.has(status) && title !== undefined && detail !== undefined) {
    return new ApiFailure(status, ended(title), ended(detail));
  }
  const [sentence, advice] = SAID[status] ?? [
    `The server failed (status ${status}).`,
    'Try again; if it stays so, whoever runs the server finds the reason in its log.',
  ];
  return new ApiFailure(status, status === 404 && detail ? ended(detail) : sentence, advice);
}
