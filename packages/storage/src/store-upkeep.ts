import { accessSync, constants, existsSync, mkdirSync } from 'node:fs';
import { influxStatus } from './influxdb/influx-status.ts';
import { prepareInfluxStore } from './influxdb/prepare-influx-store.ts';
import type { PreparedThing, PrepareWishes, StoreStatus } from './ports/store-upkeep.ts';
import { sqliteFailure } from './sqlite/sqlite-failure.ts';
import { sqliteStatus } from './sqlite/telemetry/telemetry-status.ts';
import type { TelemetrySource } from './telemetry-source.ts';

/**
 * Makes what the store of readings needs and is not there; doing it again changes nothing. Nothing
 * that is stored is deleted unless `wishes.mayDelete`.
 *
 * @throws StoreError `STORE_UNAVAILABLE` when the server does not answer, or the folder cannot be
 *   made or written to.
 */
export async function prepareStore(
  source: TelemetrySource,
  wishes: PrepareWishes,
): Promise<readonly PreparedThing[]> {
  if (source.kind === 'influxdb') return prepareInfluxStore(source.server, wishes);
  const name = `folder ${source.folder}`;
  const wasThere = existsSync(source.folder);
  try {
    mkdirSync(source.folder, { recursive: true, mode: 0o700 });
    accessSync(source.folder, constants.R_OK | constants.W_OK);
  } catch (error) {
    throw sqliteFailure(error, source.folder);
  }
  if (!wasThere) return [{ name, outcome: 'made', words: 'is new and empty', steps: [] }];
  const { length } = sqliteStatus(source.folder, wishes.retentionDays).weeks;
  return [{ name, outcome: 'kept', words: `holds ${length} weeks`, steps: [] }];
}

/** How the store of readings is. Never rejects: what is in the way stands in `failure`. */
export async function storeStatus(
  source: TelemetrySource,
  retentionDays: number,
  nowMs: number,
): Promise<StoreStatus> {
  return source.kind === 'influxdb'
    ? influxStatus(source.server, retentionDays, nowMs)
    : sqliteStatus(source.folder, retentionDays);
}
