import type { PeopleRecords, Person } from '@lineside/storage';
import { ApiError } from '../errors/api-error.ts';
import { badCredentials } from './authenticator.ts';
import { OneAtATime } from './one-at-a-time.ts';
import { passwordFits } from './passwords.ts';
import { NO_FAILURES, signInWaitMs, withFailure } from './sign-in-delay.ts';

/** Checks names and passwords, and slows down who guesses. */
export class SignIn {
  readonly #records: PeopleRecords;
  readonly #clock: () => number;
  /** Else tries side by side would all count as the same one. */
  readonly #queue = new OneAtATime();

  constructor(records: PeopleRecords, clock: () => number) {
    this.#records = records;
    this.#clock = clock;
  }

  /**
   * The person whose name and password these are. Rejects with 401, the same whether the name or
   * the password is wrong, with 429 while the name must wait, and with `StoreError`.
   */
  check(username: string, password: string): Promise<Person> {
    const name = username.trim().toLowerCase();
    return this.#queue.run(name, () => this.#check(name, password));
  }

  async #check(name: string, password: string): Promise<Person> {
    const failures = await this.#records.signInFailures(name);
    const waitMs = signInWaitMs(failures, this.#clock());
    if (waitMs > 0) {
      const retryAfterSeconds = Math.ceil(waitMs / 1000);
      throw new ApiError('API_TOO_MANY_REQUESTS', 'Too many tries with this name.', {
        retryAfterSeconds,
      });
    }
    const person = await this.#records.personByUsername(name);
    if (await passwordFits(person?.passwordHash ?? null, password)) {
      if (failures.count > 0) await this.#records.setSignInFailures(name, NO_FAILURES);
      if (person !== null) return person;
    }
    await this.#records.setSignInFailures(name, withFailure(failures, this.#clock()));
    throw badCredentials();
  }
}
