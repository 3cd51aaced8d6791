import { Counter, Gauge, type Registry } from 'prom-client';

export interface FollowerGauges {
  readonly asksOpen: () => number;
  /** How long ago the journal was last read to its end and all that follows was kept. */
  readonly lagSeconds: () => number;
}

/** Pages by kind, counted when they are in the outbox. */
export type PagesTotal = Counter<'kind'>;

export function createFollowerMetrics(registry: Registry, gauges: FollowerGauges): PagesTotal {
  new Gauge({
    name: 'lineside_asks_open',
    help:
      'Alarms that nobody has answered, and those that the next digest tells of. Worry when it ' +
      'grows through a day: nobody answers.',
    registers: [registry],
    collect() {
      this.set(gauges.asksOpen());
    },
  });
  new Gauge({
    name: 'lineside_alerting_lag_seconds',
    help:
      'Time since alerting had last read the alarm journal to its end; about a second is well. ' +
      'Worry above 60.',
    registers: [registry],
    collect() {
      this.set(gauges.lagSeconds());
    },
  });
  return new Counter({
    name: 'lineside_pages_total',
    help:
      'Pages to one person each that were put into the outbox, repeats of a page included. Worry ' +
      'when it grows by more than six an hour and person.',
    labelNames: ['kind'],
    registers: [registry],
  });
}
