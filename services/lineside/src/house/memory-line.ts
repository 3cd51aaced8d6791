import type { Logger } from 'pino';
import type { HouseLine } from './house-line.ts';
import { NearAlerting } from './near-alerting.ts';
import { NearIngest } from './near-ingest.ts';

/** The line of a house whose services share one process. */
export function openMemoryLine(log: Pick<Logger, 'error'>): HouseLine {
  const ingest = new NearIngest(log);
  const alerting = new NearAlerting();
  return {
    ingest,
    alerting,
    bringIngest: (one) => ingest.bring(one),
    bringAlerting: (one) => alerting.bring(one),
    close: async () => {},
  };
}
