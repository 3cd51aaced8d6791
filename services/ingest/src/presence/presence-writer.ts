import type { Presence, RecordStore } from '@lineside/storage';
import { growingPauseMs, type Pauses } from '../commit/pause.ts';
import type { StoreHealth } from '../commit/store-health.ts';

interface WaitingPresence {
  readonly presence: Presence;
  readonly acknowledge: readonly (() => void)[];
}

export interface PresenceWriterParts {
  readonly records: Pick<RecordStore, 'setPresence' | 'presences'>;
  readonly health: StoreHealth;
  readonly pauses: Pauses;
}

/**
 * Keeps which nodes are connected, by what they say themselves and by their last wills. Only the
 * newest word of each unit waits, so that a store that is away does not fill the memory.
 */
export class PresenceWriter {
  readonly #parts: PresenceWriterParts;
  /** What the store is known to hold, by unit. */
  readonly #kept = new Map<string, boolean>();
  readonly #waiting = new Map<string, WaitingPresence>();
  #running: Promise<void> | null = null;

  constructor(parts: PresenceWriterParts) {
    this.#parts = parts;
  }

  /**
   * Acknowledges once this word, or a newer one of the same unit, is kept. A word that is kept
   * already changes nothing: a broker repeats the retained ones whenever we come back to it.
   */
  set(presence: Presence, acknowledge: () => void): void {
    const key = `${presence.site}/${presence.unit}`;
    if (!this.#waiting.has(key) && this.#kept.get(key) === presence.online) {
      acknowledge();
      return;
    }
    const earlier = this.#waiting.get(key)?.acknowledge ?? [];
    this.#waiting.delete(key);
    this.#waiting.set(key, { presence, acknowledge: [...earlier, acknowledge] });
    this.#running ??= this.#run().finally(() => {
      this.#running = null;
    });
  }

  /**
   * Nothing is known of who is connected, whatever the records say: nodes that live say so again
   * within seconds, and the others must not look online for ever.
   */
  async allOffline(nowMs: number): Promise<void> {
    for (const presence of await this.#parts.records.presences()) {
      this.#kept.set(`${presence.site}/${presence.unit}`, false);
      if (presence.online) {
        await this.#parts.records.setPresence({ ...presence, online: false, sinceMs: nowMs });
      }
    }
  }

  async drain(): Promise<void> {
    await this.#running;
  }

  async #run(): Promise<void> {
    for (let attempt = 1; this.#waiting.size > 0; ) {
      const [next] = this.#waiting;
      if (next === undefined) {
        return;
      }
      const [key, waiting] = next;
      try {
        await this.#parts.records.setPresence(waiting.presence);
      } catch (error) {
        this.#parts.health.failed(error);
        if (this.#parts.pauses.ended) {
          return;
        }
        await this.#parts.pauses.wait(growingPauseMs(attempt++));
        continue;
      }
      this.#kept.set(key, waiting.presence.online);
      this.#parts.health.succeeded();
      attempt = 1;
      this.#settle(key, waiting);
    }
  }

  #settle(key: string, kept: WaitingPresence): void {
    const now = this.#waiting.get(key);
    if (now === kept) {
      this.#waiting.delete(key);
    } else if (now !== undefined) {
      // A newer word came in meanwhile, and waits with its own acknowledgement only.
      const acknowledge = now.acknowledge.slice(kept.acknowledge.length);
      this.#waiting.set(key, { presence: now.presence, acknowledge });
    }
    for (const acknowledge of kept.acknowledge) {
      acknowledge();
    }
  }
}
