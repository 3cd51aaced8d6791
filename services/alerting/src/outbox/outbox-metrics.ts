import type { AlertingRecords } from '@lineside/storage';
import { Counter, Gauge, Histogram, type Registry } from 'prom-client';

/** Waiting messages are counted up to here: more is a storm or a door that is closed. */
const COUNTED_MOST = 1000;

/** A time that no message is due after. */
const END_OF_TIME_MS = Number.MAX_SAFE_INTEGER;

export interface OutboxMetrics {
  readonly tries: Counter<'channel' | 'outcome'>;
  /** From the decision to page until the page was handed over. */
  readonly pageSeconds: Histogram<'channel'>;
}

/** Registers what the outbox counts; `outcome` is that of a try, or why there was none. */
export function createOutboxMetrics(
  registry: Registry,
  records: Pick<AlertingRecords, 'messagesDue'>,
): OutboxMetrics {
  new Gauge({
    name: 'lineside_outbox_waiting',
    help:
      `Messages that wait to be handed over, counted up to ${COUNTED_MOST}. Worry when it stays ` +
      'above 0 for ten minutes: somebody is not reached.',
    registers: [registry],
    async collect() {
      try {
        this.set((await records.messagesDue(END_OF_TIME_MS, COUNTED_MOST)).length);
      } catch {
        // A store that is out must not take all other figures with it.
        this.set(Number.NaN);
      }
    },
  });
  const tries = new Counter({
    name: 'lineside_messages_total',
    help:
      'Tries to hand a message over by what came of them, and messages given up untried. Worry ' +
      'about every outcome but handed-over that goes on growing.',
    labelNames: ['channel', 'outcome'],
    registers: [registry],
  });
  const pageSeconds = new Histogram({
    name: 'lineside_page_seconds',
    help:
      'Time from the decision to page until a message was handed over to its channel, tries that ' +
      'failed included. Worry above 60.',
    labelNames: ['channel'],
    buckets: [0.1, 0.5, 1, 5, 15, 60, 300, 1_800, 7_200],
    registers: [registry],
  });
  return { tries, pageSeconds };
}
