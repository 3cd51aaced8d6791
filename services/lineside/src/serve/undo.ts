import type { Logger } from 'pino';

/** Undoes what was started, last first, and goes on when one of them fails. */
export class Undo {
  private readonly steps: Array<() => Promise<void> | void> = [];

  add(step: () => Promise<void> | void): void {
    this.steps.push(step);
  }

  async run(log: Logger): Promise<void> {
    for (const step of this.steps.splice(0).reverse()) {
      try {
        await step();
      } catch (error) {
        log.error({ err: error }, 'closing one part failed, going on with the others');
      }
    }
  }
}
