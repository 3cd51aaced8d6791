import type { RecordStore } from '@lineside/storage';
import type { Logger } from 'pino';

/** How often revocations are looked for: one question by a key, answered within microseconds. */
const LOOK_EVERY_MS = 1_000;

/**
 * How long a revocation is kept in mind: a sign-in that began before it was noticed may be let in
 * after it, and takes no longer than this.
 */
const REMEMBER_MS = 60_000;

export interface RevocationWatchParts {
  readonly records: Pick<RecordStore, 'revocationsAfter'>;
  readonly log: Logger;
  /** Ms of a clock that only goes forward, the one that sign-ins are timed by. */
  readonly nowMs: () => number;
  /** Ends the connections of a node that signed in before a time. */
  readonly endConnections: (username: string, signedInBeforeMs: number) => void;
}

/**
 * Notices that nodes were revoked, also by another program, and has the connections ended that
 * stand. A credential that was made since does not save them: they came in with the one before.
 */
export class RevocationWatch {
  readonly #parts: RevocationWatchParts;
  readonly #noticedMs = new Map<string, number>();
  #through = 0;
  #timer: NodeJS.Timeout | null = null;
  #isLooking = false;

  constructor(parts: RevocationWatchParts) {
    this.#parts = parts;
  }

  start(): void {
    this.#timer = setInterval(() => void this.look(), LOOK_EVERY_MS);
    this.#timer.unref();
  }

  stop(): void {
    if (this.#timer !== null) clearInterval(this.#timer);
  }

  /** Looks once; when the records cannot be read, the next look sees what this one missed. */
  async look(): Promise<void> {
    if (this.#isLooking) return;
    this.#isLooking = true;
    try {
      const revocations = await this.#parts.records.revocationsAfter(this.#through);
      const nowMs = this.#parts.nowMs();
      for (const { site, unit, sequence } of revocations) {
        this.#noticedMs.set(`${site}/${unit}`, nowMs);
        this.#through = sequence;
      }
      this.#endConnections(nowMs);
    } catch (error) {
      this.#parts.log.debug({ err: error }, 'revocations cannot be read');
    } finally {
      this.#isLooking = false;
    }
  }

  #endConnections(nowMs: number): void {
    for (const [username, noticedMs] of this.#noticedMs) {
      this.#parts.endConnections(username, noticedMs);
      if (nowMs - noticedMs > REMEMBER_MS) this.#noticedMs.delete(username);
    }
  }
}
