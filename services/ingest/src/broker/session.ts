import type { Identity } from './identity.ts';

/** Most topic filters of one connection; reading programs need one. */
export const MOST_FILTERS_PER_CONNECTION = 100;

/** What is known about one connection. */
export class Session {
  identity: Identity | null = null;
  /** When its credentials began to be looked up, ms. */
  signInBeganMs = 0;
  /** What the peer calls itself, for notes and logs. */
  clientId: string | null = null;
  /** One and a half keep-alive periods, ms; 0: the peer asked for none. */
  silenceAllowedMs = 0;
  readonly filters: Set<string> = new Set();
  #lastHeardMs: number;
  #withheld = 0;

  constructor(nowMs: number) {
    this.#lastHeardMs = nowMs;
  }

  /** Acknowledgements that are being withheld. */
  get withheld(): number {
    return this.#withheld;
  }

  heard(nowMs: number): void {
    this.#lastHeardMs = nowMs;
  }

  /** An acknowledgement is being withheld: the peer's further bytes are not read meanwhile. */
  withhold(): void {
    this.#withheld += 1;
  }

  release(nowMs: number): void {
    this.#withheld -= 1;
    this.#lastHeardMs = nowMs;
  }

  /** True when the peer broke its keep-alive promise, and not because of us. */
  fellSilent(nowMs: number): boolean {
    return (
      this.silenceAllowedMs > 0 &&
      this.#withheld === 0 &&
      nowMs - this.#lastHeardMs > this.silenceAllowedMs
    );
  }
}
