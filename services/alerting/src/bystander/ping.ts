import { Webhook } from 'standardwebhooks';
import type { OutsideGuard } from '../channels/outside-guard.ts';
import { postOutside, TRY_TIMEOUT_MS } from '../channels/post-outside.ts';
import { retryPauseMs } from '../outbox/retry-pause.ts';
import type { PingSettings, ServerReadings } from './pipe-lines.ts';
import type { Say } from './teller.ts';

export interface PingParts {
  readonly settings: PingSettings;
  readonly guard: OutsideGuard;
  readonly clock: () => number;
  /** From 0 to below 1, evenly spread. */
  readonly random: () => number;
  readonly say: Say;
}

/**
 * Calls an outside address now and then to say that alerting lives (Standard Webhooks). Whoever is
 * there raises an alarm when the calls stay out.
 */
export class Ping {
  readonly #parts: PingParts;
  readonly #closing = new AbortController();
  #nextAtMs = Number.NEGATIVE_INFINITY;
  #failed = 0;
  #under: Promise<void> | null = null;

  constructor(parts: PingParts) {
    this.#parts = parts;
  }

  /** To be called often while all is well, and not at all while it is not. */
  allIsWell(readings: ServerReadings): void {
    if (this.#under !== null || this.#parts.clock() < this.#nextAtMs) return;
    this.#under = this.#post(readings).finally(() => {
      this.#under = null;
    });
  }

  async close(): Promise<void> {
    this.#closing.abort();
    await this.#under;
  }

  async #post(readings: ServerReadings): Promise<void> {
    const { settings, guard, clock, random, say } = this.#parts;
    const at = new Date(clock());
    const text = pingBody(at, readings);
    const id = `alive-${at.getTime().toString(36)}`;
    const answer = await postOutside(guard, {
      url: new URL(settings.url),
      headers: {
        'content-type': 'application/json; charset=utf-8',
        'webhook-id': id,
        'webhook-timestamp': Math.floor(at.getTime() / 1000),
        'webhook-signature': new Webhook(settings.secret).sign(id, at, text),
      },
      body: Buffer.from(text),
      timeoutMs: TRY_TIMEOUT_MS,
      closing: this.#closing.signal,
    });
    if (answer.kind === 'answered' && answer.status >= 200 && answer.status < 300) {
      this.#failed = 0;
      this.#nextAtMs = at.getTime() + settings.everyMs;
      return;
    }
    this.#failed += 1;
    const pauseMs = Math.min(settings.everyMs, retryPauseMs(this.#failed, null, random()));
    this.#nextAtMs = at.getTime() + pauseMs;
    const reason = answer.kind === 'answered' ? `answered ${answer.status}` : answer.reason;
    if (!this.#closing.signal.aborted) say('warn', 'the ping did not get through', { reason });
  }
}

/** What a ping says: `type`, `timestamp` and `data` (Standard Webhooks). */
function pingBody(at: Date, readings: ServerReadings): string {
  const time = (atMs: number | null) => (atMs === null ? null : new Date(atMs).toISOString());
  return JSON.stringify({
    type: 'alive',
    timestamp: at.toISOString(),
    data: {
      lastCommit: time(readings.lastCommitAtMs),
      judgingPending: readings.judgingPending,
      pagesWaiting: readings.pagesWaiting,
      oldestPageWaiting: time(readings.oldestWaitingAtMs),
    },
  });
}
