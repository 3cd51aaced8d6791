import { ApiError } from '../errors/api-error.ts';
import { type BucketRate, TokenBuckets } from './token-bucket.ts';

/** Each token or person: twice what is promised to everyone, for a page that loads at once. */
const PRINCIPAL_RATE: BucketRate = { perSecond: 200, burst: 400 };
/** Requests without sign-in, an address: a health check of many machines behind one address. */
const OPEN_RATE: BucketRate = { perSecond: 200, burst: 400 };
/** Refused tokens, an address: a program with an old token, not a search for one. */
const REFUSED_RATE: BucketRate = { perSecond: 5, burst: 100 };
/** Sign-ins and invitations, an address: an office behind one address in the morning. */
const SIGN_IN_RATE: BucketRate = { perSecond: 1 / 3, burst: 20 };

/** Limits how often someone may ask; each method throws 429 with Retry-After. */
export class RequestRate {
  readonly #clock: () => number;
  readonly #principals = new TokenBuckets(PRINCIPAL_RATE);
  readonly #open = new TokenBuckets(OPEN_RATE);
  readonly #refused = new TokenBuckets(REFUSED_RATE);
  readonly #signIns = new TokenBuckets(SIGN_IN_RATE);

  constructor(clock: () => number) {
    this.#clock = clock;
  }

  principal(key: string): void {
    this.#take(this.#principals, key);
  }

  open(address: string): void {
    this.#take(this.#open, address);
  }

  refused(address: string): void {
    this.#take(this.#refused, address);
  }

  signIn(address: string): void {
    this.#take(this.#signIns, address);
  }

  #take(buckets: TokenBuckets, key: string): void {
    const waitMs = buckets.take(key, this.#clock());
    if (waitMs === 0) return;
    throw new ApiError('API_TOO_MANY_REQUESTS', 'Slow down.', {
      retryAfterSeconds: Math.ceil(waitMs / 1000),
    });
  }
}
