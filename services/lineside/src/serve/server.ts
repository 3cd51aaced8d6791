import type { Fleet } from '@lineside/fleet';
import type { RecordStore } from '@lineside/storage';
import type { Logger } from 'pino';
import type { HouseLine } from '../house/house-line.ts';
import { openMemoryLine } from '../house/memory-line.ts';
import { openMqttLine } from '../house/mqtt-line.ts';
import type { ServerSettings } from '../settings.ts';
import { type PreparedAlerting, prepareAlerting } from './alerting-role.ts';
import { type RunningApi, startApiRole } from './api-role.ts';
import { farStores } from './far-stores.ts';
import { FleetBook } from './fleet-book.ts';
import { applyFleetFile } from './fleet-file.ts';
import { openHealthListener } from './health-listener.ts';
import { type RunningIngest, startIngestRole } from './ingest-role.ts';
import { urlHost } from './listening.ts';
import { type OpenedHouse, openHouse } from './opened-house.ts';
import { ROLES, type Role } from './roles.ts';
import { Undo } from './undo.ts';

export interface ServerOptions {
  /** Services of this process; the others have processes of their own, and find it by the broker. */
  readonly roles: ReadonlySet<Role>;
  /** Null: the fleet that the data folder knows from an earlier start. Ingest applies it. */
  readonly fleetFile: string | null;
  readonly dataFolder: string;
  /** A second process tells people when alerting's stops; false: nobody does. */
  readonly isLookedAfter: boolean;
  readonly settings: ServerSettings;
  readonly log: Logger;
}

/** The services of this process; null for those of others. */
export interface RunningServer {
  readonly ingest: (RunningIngest & { readonly fleet: Fleet }) | null;
  readonly api: RunningApi | null;
  readonly records: RecordStore;
  /** Stops taking readings, commits and judges what was taken, and closes. */
  close(): Promise<void>;
}

/** What the services of a process have in common beyond the stores. */
interface Common {
  readonly fleet: () => Fleet;
  readonly line: HouseLine;
}

/**
 * Starts services over one data folder.
 * Throws `CommandFailure` (2: a file or settings, 3: port or folder in use).
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
  const { roles, isLookedAfter, log } = options;
  const house = await openHouse(options, undo);
  const health = await openHealthListener(house, roles);
  const fleet = roles.has('ingest')
    ? await appliedFleet(house, options.fleetFile)
    : await followedFleet(house);
  const prepared = roles.has('alerting')
    ? await prepareAlerting(house, fleet.now(), isLookedAfter)
    : null;
  const line = await openLine(house, roles, fleet);
  const common: Common = { fleet: fleet.now, line };

  const ingest = roles.has('ingest') ? await startIngest(house, common) : null;
  const api = roles.has('api') ? await startApiRole(house, common) : null;
  // After the web listener, since pages carry its address.
  const paging = await prepared?.start({ ...common, publicUrl: publicUrlOf(house, api) });
  health.serves({
    ingest: ingest === null ? null : () => ingest.ingest.pulse(),
    alerting: paging === undefined ? null : () => paging.health(),
    clock: house.clock,
  });
  return {
    ingest: ingest === null ? null : { ...ingest, fleet: fleet.now() },
    api,
    records: house.records,
    close: async () => {
      leave(house, prepared);
      await undo.run(log);
    },
  };
}

/** The fleet as this process has it. */
interface KnownFleet {
  readonly now: () => Fleet;
  /** Looks whether another process stored another one. */
  readonly refresh: () => Promise<void>;
}

async function appliedFleet(
  { records, log }: OpenedHouse,
  file: string | null,
): Promise<KnownFleet> {
  const fleet = await applyFleetFile(records, file, log);
  return { now: () => fleet, refresh: async () => {} };
}

async function followedFleet({ records, log, undo }: OpenedHouse): Promise<KnownFleet> {
  const book = new FleetBook(records, log);
  await book.refresh();
  book.follow();
  undo.add(() => book.stop());
  return { now: () => book.fleet, refresh: () => book.refresh() };
}

/** In memory where all services share the process. Closed after them, so that they end on it. */
async function openLine(
  house: OpenedHouse,
  roles: ReadonlySet<Role>,
  fleet: KnownFleet,
): Promise<HouseLine> {
  const { settings, log, undo } = house;
  const { outsideBroker: address } = settings;
  if (roles.size === ROLES.length) return openMemoryLine(log);
  if (address === null) throw new TypeError('services apart need an outside broker');
  const line = await openMqttLine({
    address,
    log,
    stores: roles.has('ingest') ? null : farStores(house, fleet, roles.has('api')),
    hasAlerting: roles.has('alerting'),
  });
  undo.add(() => line.close());
  undo.add(line.ingest.onFleet(() => void fleet.refresh()));
  return line;
}

async function startIngest(house: OpenedHouse, { fleet, line }: Common): Promise<RunningIngest> {
  const running = await startIngestRole(house, fleet());
  line.bringIngest(running.ingest);
  return running;
}

/** Where pages lead: to the web listener of this process, else to where the settings say. */
function publicUrlOf({ settings, log }: OpenedHouse, api: RunningApi | null): () => string {
  const { publicUrl, httpHost, httpPort } = settings;
  const guess = `http://${urlHost(httpHost)}:${httpPort}`;
  if (api === null && publicUrl === null) {
    log.warn({ guess }, 'links in pages lead there: set LINESIDE_PUBLIC_URL to where people go');
  }
  return () => api?.publicUrl ?? publicUrl ?? guess;
}

function leave(house: OpenedHouse, prepared: PreparedAlerting | null): void {
  prepared?.farewell();
  house.hurry();
}
