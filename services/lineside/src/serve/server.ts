import type { Fleet } from '@lineside/fleet';
import type { Ingest } from '@lineside/ingest';
import type { RecordStore } from '@lineside/storage';
import type { Logger } from 'pino';
import { openMemoryLine } from '../house/memory-line.ts';
import type { ServerSettings } from '../settings.ts';
import { prepareAlerting } from './alerting-role.ts';
import { type RunningApi, startApiRole } from './api-role.ts';
import { applyFleetFile } from './fleet-file.ts';
import { type RunningIngest, startIngestRole } from './ingest-role.ts';
import { openHouse } from './opened-house.ts';
import { ROLES } from './roles.ts';
import { Undo } from './undo.ts';

export interface ServerOptions {
  /** Null: the fleet that the data folder knows from an earlier start. */
  readonly fleetFile: string | null;
  readonly dataFolder: string;
  /** A second process tells people when this one stops; false: nobody does. */
  readonly isLookedAfter: boolean;
  readonly settings: ServerSettings;
  readonly log: Logger;
}

/** Everything of Lineside in one process. */
export interface RunningServer extends RunningApi, RunningIngest {
  readonly fleet: Fleet;
  readonly records: RecordStore;
  readonly ingest: Ingest;
  /** Stops taking readings, commits and judges what was taken, and closes. */
  close(): Promise<void>;
}

/**
 * Starts broker, judging, web listener and alerting over one data folder.
 * Throws `CommandFailure` (2: fleet file or settings, 3: port or folder in use).
 */
export async function startServer(options: ServerOptions): Promise<RunningServer> {
  const undo = new Undo();
  try {
    return await start(options, undo);
  } catch (error) {
    await undo.run(options.log);
    throw error;
  }
}

async function start(options: ServerOptions, undo: Undo): Promise<RunningServer> {
  const { fleetFile, isLookedAfter, log } = options;
  const house = await openHouse({ ...options, roles: new Set(ROLES) }, undo);
  const { records } = house;
  const fleet = await applyFleetFile(records, fleetFile, log);
  const prepared = await prepareAlerting(house, fleet, isLookedAfter);
  const line = openMemoryLine(log);
  const running = await startIngestRole(house, fleet);
  line.bringIngest(running.ingest);
  const api = await startApiRole(house, { fleet: () => fleet, line });
  // After the web listener, since pages carry its address.
  const publicUrl = (): string => api.publicUrl;
  await prepared.start({ fleet: () => fleet, publicUrl, line });
  const telemetry = await house.telemetry();
  return {
    ...running,
    ...api,
    fleet,
    records,
    close: async () => {
      prepared.farewell();
      telemetry.hurry?.();
      await undo.run(log);
    },
  };
}
