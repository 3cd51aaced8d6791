import { readFileSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import type { Alerting } from '@lineside/alerting';
import { type AlertingDoor, buildApi, firstInvitation, type WhatIfDesk } from '@lineside/api';
import type { Fleet } from '@lineside/fleet';
import { type Ingest, type IngestSettings, startIngest, startReplayWorker } from '@lineside/ingest';
import {
  openRecordStore,
  openTelemetry,
  type RecordStore,
  type TelemetryStore,
} from '@lineside/storage';
import type { FastifyInstance } from 'fastify';
import type { Logger } from 'pino';
import { collectDefaultMetrics, Registry } from 'prom-client';
import {
  claimDataFolder,
  type DataFolder,
  openDataFolder,
  telemetrySource,
} from '../data-folder.ts';
import { CommandFailure, EXIT } from '../failure.ts';
import type { ServerSettings } from '../settings.ts';
import { createWhatIfDesk } from '../what-if/what-if-desk.ts';
import { applyOnCallFiles, openAlerting } from './alerting.ts';
import { alertingDoor } from './alerting-door.ts';
import { standBy } from './bystander.ts';
import { dashboardBuild } from './dashboard-build.ts';
import { applyFleetFile } from './fleet-file.ts';
import { startHousekeeping } from './housekeeping.ts';
import { pageDoor } from './page-door.ts';

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
export interface RunningServer {
  readonly httpUrl: string;
  readonly mqttUrl: string;
  readonly publicUrl: string;
  readonly fleet: Fleet;
  readonly records: RecordStore;
  readonly ingest: Ingest;
  /** One-time link for the first person; null once somebody has an account. */
  readonly welcomeLink: string | null;
  /** Stops taking readings, commits and judges what was taken, and closes. */
  close(): Promise<void>;
}

/** Undoes what was started, last first, and goes on when one of them fails. */
class Undo {
  private readonly steps: Array<() => Promise<void> | void> = [];

  add(step: () => Promise<void> | void): void {
    this.steps.push(step);
  }

  async run(log: Logger): Promise<void> {
    for (const step of this.steps.splice(0).reverse()) {
      try {
        await step();
      } catch (error) {
        log.error({ err: error }, 'closing one part failed, going on with the others');
      }
    }
  }
}

/**
 * Starts broker, judging and web listener over one data folder.
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

/** Stores over the claimed data folder, with what files say applied. */
async function openStores(
  { dataFolder, fleetFile, settings, log }: ServerOptions,
  clock: () => number,
  undo: Undo,
): Promise<Stores> {
  const folder = openDataFolder(dataFolder);
  undo.add(claimDataFolder(folder));
  const records = await openRecordStore({ file: folder.records });
  undo.add(() => records.close());
  const fleet = await applyFleetFile(records, fleetFile, log);
  await applyOnCallFiles({
    records,
    dataFolder,
    fleet,
    clock,
    log,
    settings: settings.alerting,
  });
  const telemetry = await openTelemetry(telemetrySource(folder, settings.influx));
  undo.add(() => telemetry.close());
  return { folder, records, fleet, telemetry };
}

async function start(options: ServerOptions, undo: Undo): Promise<RunningServer> {
  const { settings, log } = options;
  const clock = (): number => Date.now();
  const { folder, records, fleet, telemetry } = await openStores(options, clock, undo);

  // Before the rest, since a start may take minutes or hang.
  const bystander = await standBy({ ...options, records, clock });
  undo.add(() => bystander.end());

  const metrics = new Registry();
  collectDefaultMetrics({ register: metrics });
  const source = telemetrySource(folder, settings.influx);
  const replayer = await startReplayWorker(source);
  undo.add(() => replayer.close());
  const shared = { telemetry, records, fleet: () => fleet, clock, metrics };
  const ingest = await startListening(
    () =>
      startIngest({
        ...shared,
        replayer,
        log: log.child({ part: 'ingest' }),
        settings: ingestSettings(settings),
      }),
    `${settings.mqttHost}:${settings.mqttPort}`,
    'LINESIDE_MQTT_PORT',
  );
  undo.add(() => ingest.close());

  const whatIf = createWhatIfDesk({
    records,
    openReplayer: () => startReplayWorker(source),
    clock,
  });
  undo.add(() => whatIf.close());
  let paging: Alerting | null = null;
  const alerting = await alertingDoor(records, clock, settings.alerting.vapidSubject !== null, () =>
    paging?.messagesWait(),
  );
  const { api, httpUrl, publicUrl } = await startWeb(
    { ...shared, whatIf, alerting },
    ingest,
    options,
  );
  undo.add(() => api.close());
  // After the web listener, since pages carry its address.
  const open = { ...shared, ingest, log, settings: settings.alerting };
  paging = await openAlerting({ ...open, publicUrl: () => publicUrl });
  undo.add(() => paging?.stop());
  bystander.started({ ingest, alerting: paging, records, clock }, metrics);
  undo.add(
    startHousekeeping({ telemetry, records, clock, log, retentionDays: settings.retentionDays }),
  );

  const secret = await firstInvitation(records, clock);
  const scheme = settings.tlsFiles === null ? 'mqtt' : 'mqtts';
  return {
    httpUrl,
    mqttUrl: `${scheme}://${urlHost(settings.mqttHost)}:${ingest.mqttPort}`,
    publicUrl,
    fleet,
    records,
    ingest,
    welcomeLink: secret === null ? null : `${publicUrl}/#/welcome/${secret}`,
    close: async () => {
      bystander.farewell();
      telemetry.hurry?.();
      await undo.run(log);
    },
  };
}

interface Stores {
  readonly folder: DataFolder;
  readonly records: RecordStore;
  readonly fleet: Fleet;
  readonly telemetry: TelemetryStore;
}

interface Shared {
  readonly whatIf: WhatIfDesk;
  readonly alerting: AlertingDoor;
  readonly telemetry: TelemetryStore;
  readonly records: RecordStore;
  readonly fleet: () => Fleet;
  readonly clock: () => number;
  readonly metrics: Registry;
}

async function startWeb(
  shared: Shared,
  ingest: Ingest,
  { settings, log }: ServerOptions,
): Promise<{ api: FastifyInstance; httpUrl: string; publicUrl: string }> {
  const listen = { host: settings.httpHost, port: settings.httpPort };
  const guess = `http://${urlHost(listen.host)}:${listen.port}`;
  const api = await buildApi({
    ...shared,
    live: ingest,
    pages: await pageDoor(shared.records, ingest, shared.clock),
    log: log.child({ part: 'api' }),
    publicUrl: settings.publicUrl ?? guess,
    trustedProxies: settings.trustedProxies,
    dashboardFolder: dashboardBuild(log),
  });
  const where = `${listen.host}:${listen.port}`;
  await startListening(() => api.listen(listen), where, 'LINESIDE_HTTP_PORT');
  const { port } = api.server.address() as AddressInfo;
  const httpUrl = `http://${urlHost(listen.host)}:${port}`;
  return { api, httpUrl, publicUrl: settings.publicUrl ?? httpUrl };
}

function ingestSettings(settings: ServerSettings): IngestSettings {
  const { tlsFiles } = settings;
  return {
    mqttHost: settings.mqttHost,
    mqttPort: settings.mqttPort,
    retentionDays: settings.retentionDays,
    tls:
      tlsFiles === null
        ? null
        : {
            certificate: readPem(tlsFiles.certificate),
            key: readPem(tlsFiles.key),
            clientCa: tlsFiles.clientCa === null ? null : readPem(tlsFiles.clientCa),
          },
  };
}

function readPem(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    const words = error instanceof Error ? error.message : String(error);
    throw new CommandFailure(EXIT.badInput, `cannot read ${file}: ${words}`, { cause: error });
  }
}

async function startListening<T>(
  begin: () => Promise<T>,
  where: string,
  settingName: string,
): Promise<T> {
  try {
    return await begin();
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? error.code : null;
    const reasons: Record<string, string> = {
      EADDRINUSE: 'the port is in use',
      EACCES: 'not allowed to use that port',
      EADDRNOTAVAIL: 'this machine does not have that address',
    };
    const reason = typeof code === 'string' ? reasons[code] : undefined;
    if (reason === undefined) throw error;
    throw new CommandFailure(
      EXIT.cannotStart,
      `cannot listen on ${where}: ${reason} (set ${settingName})`,
      { cause: error },
    );
  }
}

/** An address as it stands in a URL; a listener on all addresses is reached by loopback. */
function urlHost(host: string): string {
  if (host === '0.0.0.0' || host === '::') return '127.0.0.1';
  return host.includes(':') ? `[${host}]` : host;
}
