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

/** A late reading costs a day of its unit to be read anew until then. */
const EVERY_MINUTE = '* * * * *';

export interface HousekeepingOptions {
  readonly telemetry: TelemetryStore;
  readonly records: RecordStore;
  readonly clock: () => number;
  readonly retentionDays: number;
  readonly log: Logger;
}

/**
 * Forgets what is past its time, now and every night, and has readings summed up where the store
 * does not do so at each append. Only for the process that writes readings. Returns a function
 * that ends it.
 */
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
  const endSums = startSums(options);
  return async () => {
    await task.destroy();
    await first;
    await endSums();
  };
}

/** Sums readings up now and every minute. An outage that goes on is told once. */
function startSums({ telemetry, clock, log }: HousekeepingOptions): () => Promise<void> {
  if (telemetry.sumUp === undefined) return async () => {};
  let hasFailed = false;
  let last: Promise<void> = Promise.resolve();
  const run = async (): Promise<void> => {
    try {
      await telemetry.sumUp?.(clock());
      hasFailed = false;
    } catch (error) {
      const level = hasFailed ? 'debug' : 'warn';
      log[level]({ err: error }, 'readings were not summed up, it is tried again every minute');
      hasFailed = true;
    }
  };
  const runOnce = (): Promise<void> => {
    last = run();
    return last;
  };
  void runOnce();
  const task = schedule(EVERY_MINUTE, runOnce, { timezone: 'UTC', noOverlap: true });
  return async () => {
    await task.destroy();
    await last;
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
