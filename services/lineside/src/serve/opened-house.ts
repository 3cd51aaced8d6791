import {
  openRecordStore,
  openTelemetry,
  type RecordStore,
  type TelemetryStore,
} from '@lineside/storage';
import type { Logger } from 'pino';
import { collectDefaultMetrics, Registry } from 'prom-client';
import {
  claimDataFolder,
  type DataFolder,
  openDataFolder,
  telemetrySource,
} from '../data-folder.ts';
import type { ServerSettings } from '../settings.ts';
import type { Role } from './roles.ts';
import type { Undo } from './undo.ts';

/** What every service of a process uses. */
export interface OpenedHouse {
  readonly folder: DataFolder;
  readonly records: RecordStore;
  readonly settings: ServerSettings;
  readonly clock: () => number;
  readonly metrics: Registry;
  readonly log: Logger;
  readonly undo: Undo;
  /** Opened when first asked for, one for all services of the process. */
  telemetry(): Promise<TelemetryStore>;
  /** What waits for telemetry's server is given up soon: the process is about to end. */
  hurry(): void;
}

export interface HouseOptions {
  readonly dataFolder: string;
  readonly roles: ReadonlySet<Role>;
  readonly settings: ServerSettings;
  readonly log: Logger;
}

/** Claims the roles' places in the data folder and opens the records in it. */
export async function openHouse(options: HouseOptions, undo: Undo): Promise<OpenedHouse> {
  const { settings, log } = options;
  const folder = openDataFolder(options.dataFolder);
  for (const role of options.roles) undo.add(claimDataFolder(folder, role));
  const records = await openRecordStore({ file: folder.records });
  undo.add(() => records.close());
  const metrics = new Registry();
  collectDefaultMetrics({ register: metrics });
  let telemetry: Promise<TelemetryStore> | null = null;
  let opened: TelemetryStore | null = null;
  const open = async (): Promise<TelemetryStore> => {
    opened = await openTelemetry(telemetrySource(folder, settings.influx));
    undo.add(() => opened?.close());
    return opened;
  };
  return {
    folder,
    records,
    settings,
    clock: () => Date.now(),
    metrics,
    log,
    undo,
    telemetry: () => {
      telemetry ??= open().catch((error: unknown) => {
        telemetry = null;
        throw error;
      });
      return telemetry;
    },
    hurry: () => opened?.hurry?.(),
  };
}
