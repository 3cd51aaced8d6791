/** How fast something may go on, and how much of it may come at once. */
export interface BucketRate {
  readonly perSecond: number;
  readonly burst: number;
}

/** Keys that are remembered; the one unused for longest is forgotten and starts full again. */
const MOST_KEYS = 10_000;

interface Level {
  tokens: number;
  atMs: number;
}

/** Token buckets, one a key, on the caller's clock. */
export class TokenBuckets {
  readonly #rate: BucketRate;
  readonly #levels = new Map<string, Level>();

  constructor(rate: BucketRate) {
    this.#rate = rate;
  }

  /** Takes one; returns 0, or after how many ms there is one again. */
  take(key: string, nowMs: number): number {
    const { perSecond, burst } = this.#rate;
    const level = this.#levels.get(key) ?? { tokens: burst, atMs: nowMs };
    // A clock that was set back gives nothing and takes nothing.
    const passedMs = Math.max(0, nowMs - level.atMs);
    level.tokens = Math.min(burst, level.tokens + (passedMs / 1000) * perSecond);
    level.atMs = nowMs;
    this.#remember(key, level);
    if (level.tokens < 1) return Math.ceil(((1 - level.tokens) / perSecond) * 1000);
    level.tokens -= 1;
    return 0;
  }

  #remember(key: string, level: Level): void {
    this.#levels.delete(key);
    this.#levels.set(key, level);
    if (this.#levels.size <= MOST_KEYS) return;
    for (const oldest of this.#levels.keys()) {
      this.#levels.delete(oldest);
      return;
    }
  }
}
