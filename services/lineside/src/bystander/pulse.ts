import type { Alerting } from '@lineside/alerting';
import type { ServerReadings } from '@lineside/alerting/bystander';
import type { Ingest } from '@lineside/ingest';
import type { BeatingPart, Heartbeat } from '@lineside/paging/bystander';
import type { AlertingRecords } from '@lineside/storage';
import { Gauge, type Registry } from 'prom-client';

/** A time that no message is due after. */
const END_OF_TIME_MS = Number.MAX_SAFE_INTEGER;

/** Waiting pages are counted up to here: more is a storm or a door that is closed. */
const COUNTED_MOST = 1000;

export interface PulseParts {
  readonly ingest: Pick<Ingest, 'pulse'>;
  readonly alerting: Pick<Alerting, 'health'>;
  readonly records: Pick<AlertingRecords, 'messagesDue' | 'lastHandedOver'>;
  readonly clock: () => number;
}

/** The heartbeats of the parts, and what a ping says of them. */
export class Pulse {
  readonly #parts: PulseParts;
  readonly #startedAtMs: number;
  #waiting: Pick<ServerReadings, 'pagesWaiting' | 'oldestWaitingAtMs'> = {
    pagesWaiting: 0,
    oldestWaitingAtMs: null,
  };
  /** When anything was last handed over to anybody. */
  #lastHandedOverAtMs = Number.NEGATIVE_INFINITY;
  #isCounting = false;

  constructor(parts: PulseParts) {
    this.#parts = parts;
    this.#startedAtMs = parts.clock();
  }

  beats(): readonly Heartbeat[] {
    const { ingest, alerting, clock } = this.#parts;
    const { commitAgeMs, waitingBytes, judgingAgeMs, waitingReadings } = ingest.pulse();
    const { caughtUpAtMs, deliverer } = alerting.health();
    const lookedAtMs = Math.min(caughtUpAtMs, deliverer.lastLookAtMs ?? this.#startedAtMs);
    const beat = (part: BeatingPart, ageMs: number, waiting: number): Heartbeat => ({
      part,
      ageMs: Math.max(0, ageMs),
      waiting: Math.max(0, waiting),
    });
    return [
      beat('ingest', commitAgeMs, waitingBytes),
      beat('judging', judgingAgeMs, waitingReadings),
      beat('paging', clock() - lookedAtMs, this.#waiting.pagesWaiting),
      beat('delivery', this.#undeliveredForMs(), this.#waiting.pagesWaiting),
    ];
  }

  readings(): ServerReadings {
    const { lastCommitAtMs, waitingReadings } = this.#parts.ingest.pulse();
    return { lastCommitAtMs, judgingPending: Math.max(0, waitingReadings), ...this.#waiting };
  }

  /** How long a page has waited while none got through to anybody. */
  #undeliveredForMs(): number {
    const { oldestWaitingAtMs } = this.#waiting;
    if (oldestWaitingAtMs === null || this.#lastHandedOverAtMs > oldestWaitingAtMs) return 0;
    return this.#parts.clock() - oldestWaitingAtMs;
  }

  /** Counts pages that are due or were tried, and wait. A store that does not answer leaves the last count. */
  async count(): Promise<void> {
    if (this.#isCounting) return;
    this.#isCounting = true;
    try {
      const { records, clock } = this.#parts;
      const nowMs = clock();
      const waiting = await records.messagesDue(END_OF_TIME_MS, COUNTED_MOST);
      const due = waiting.filter(({ dueAtMs, failure }) => dueAtMs <= nowMs || failure !== null);
      const oldest = Math.min(...due.map(({ createdAtMs }) => createdAtMs));
      const handedOver = due.length === 0 ? [] : await records.lastHandedOver();
      this.#lastHandedOverAtMs = Math.max(
        this.#lastHandedOverAtMs,
        ...handedOver.map(({ atMs }) => atMs),
      );
      this.#waiting = {
        pagesWaiting: due.length,
        oldestWaitingAtMs: due.length === 0 ? null : oldest,
      };
    } catch {
      // The paging heartbeat tells of it: its looks fail as well.
    } finally {
      this.#isCounting = false;
    }
  }
}

/** @param bystanderAgeMs null while there is no bystander */
export function registerPulse(
  registry: Registry,
  pulse: Pulse,
  bystanderAgeMs: () => number | null,
): void {
  new Gauge({
    name: 'lineside_heartbeat_age_seconds',
    help:
      'Time since the work of a part last went on, 0 while it has none; of the bystander, since ' +
      'it last looked. Worry above 120: something is stuck.',
    labelNames: ['part'],
    registers: [registry],
    collect() {
      this.reset();
      for (const { part, ageMs } of pulse.beats()) this.set({ part }, ageMs / 1000);
      const ageMs = bystanderAgeMs();
      if (ageMs !== null) this.set({ part: 'bystander' }, ageMs / 1000);
    },
  });
}
