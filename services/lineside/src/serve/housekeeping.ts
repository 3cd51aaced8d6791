import type { RecordStore, TelemetryStore } from '@lineside/storage';
import { schedule } from 'node-cron';
import type { Logger } from 'pino';

const MS_PER_DAY = 86_400_000;

/** How long a refused message can be looked up; the store bounds their number as well. */
const QUARANTINE_KEPT_DAYS = 30;

/** How long it can be looked up what was said to whom; common practice, no source. */
const MESSAGES_KEPT_DAYS = 30;

/** Every night at a quiet minute, UTC. */
const WHEN = '17 3 * * *';

export interface HousekeepingOptions {
  readonly telemetry: TelemetryStore;
  readonly records: RecordStore;
  readonly clock: () => number;
  readonly retentionDays: number;
  readonly log: Logger;
}

/** Forgets what is past its time, now and every night. Returns a function that ends it. */
export function startHousekeeping(options: HousekeepingOptions): () => Promise<void> {
  const run = async (): Promise<void> => {
    try {
      await forgetWhatIsOver(options);
    } catch (error) {
      options.log.error({ err: error }, 'housekeeping failed, it is tried again tomorrow');
    }
  };
  const task = schedule(WHEN, run, { timezone: 'UTC', noOverlap: true });
  const first = run();
  return async () => {
    await task.destroy();
    await first;
  };
}

async function forgetWhatIsOver(options: HousekeepingOptions): Promise<void> {
  const nowMs = options.clock();
  const { telemetry } = options;
  if (telemetry.lacks['dropBefore'] === undefined) {
    await telemetry.dropBefore(nowMs - options.retentionDays * MS_PER_DAY);
  }
  await options.records.forgetQuarantineBefore(nowMs - QUARANTINE_KEPT_DAYS * MS_PER_DAY);
  await options.records.forgetMessagesBefore(nowMs - MESSAGES_KEPT_DAYS * MS_PER_DAY);
  await options.records.forgetSessionsBefore(nowMs);
}
