import type { AlertingRecords } from '@lineside/storage';
import { Counter, Gauge, type Registry } from 'prom-client';

/** Waiting messages are counted up to here: more is a storm or a door that is closed. */
const COUNTED_MOST = 1000;

/** A time that no message is due after. */
const END_OF_TIME_MS = Number.MAX_SAFE_INTEGER;

export type OutboxMetrics = Counter<'channel' | 'outcome'>;

/** Registers what the outbox counts; `outcome` is that of a try, or why there was none. */
export function createOutboxMetrics(
  registry: Registry,
  records: Pick<AlertingRecords, 'messagesDue'>,
): OutboxMetrics {
  new Gauge({
    name: 'lineside_outbox_waiting',
    help: `Messages that wait to be handed over, counted up to ${COUNTED_MOST}.`,
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
  return new Counter({
    name: 'lineside_messages_total',
    help: 'Tries to hand a message over by what came of them, and messages given up untried.',
    labelNames: ['channel', 'outcome'],
    registers: [registry],
  });
}
