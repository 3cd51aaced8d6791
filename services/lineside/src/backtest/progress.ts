const REDRAW_MS = 500;
const CLEAR_LINE = '\r\u001b[K';
const WHOLE_PERCENT = 100;

/** Says on standard error how far a back-test is, where a person may watch. */
export class Progress {
  readonly #shown: boolean = process.stderr.isTTY === true;
  readonly #totalBytes: number;
  #bytes = 0;
  #events = 0;
  #startedMs: number = performance.now();
  #drawnMs: number = performance.now();

  constructor(totalBytes: number) {
    this.#totalBytes = totalBytes;
  }

  readonly counted = (bytes: number): void => {
    this.#bytes += bytes;
    this.#draw();
  };

  judged(events: number): void {
    this.#events += events;
    this.#draw();
  }

  /** Everything is read once more. */
  restart(why: string): void {
    this.#bytes = 0;
    this.#events = 0;
    this.#startedMs = performance.now();
    if (this.#shown) process.stderr.write(`${CLEAR_LINE}${why}\n`);
  }

  end(): void {
    if (this.#shown) process.stderr.write(CLEAR_LINE);
  }

  #draw(): void {
    if (!this.#shown || performance.now() - this.#drawnMs < REDRAW_MS) return;
    this.#drawnMs = performance.now();
    const percent = Math.floor((this.#bytes / Math.max(1, this.#totalBytes)) * WHOLE_PERCENT);
    const perSecond = Math.round((this.#events / (this.#drawnMs - this.#startedMs)) * 1000);
    process.stderr.write(
      `${CLEAR_LINE}back-test: ${percent} % read, ${perSecond} readings a second`,
    );
  }
}
