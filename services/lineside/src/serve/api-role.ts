import type { AddressInfo } from 'node:net';
import { buildApi, firstInvitation } from '@lineside/api';
import type { Fleet } from '@lineside/fleet';
import { startReplayWorker } from '@lineside/ingest';
import { telemetrySource } from '../data-folder.ts';
import { type HouseLine, houseHealth } from '../house/house-line.ts';
import { createWhatIfDesk } from '../what-if/what-if-desk.ts';
import { alertingDoor } from './alerting-door.ts';
import { dashboardBuild } from './dashboard-build.ts';
import { startListening, urlHost } from './listening.ts';
import { oneAfterAnother } from './one-after-another.ts';
import type { OpenedHouse } from './opened-house.ts';
import { pageDoor } from './page-door.ts';

export interface RunningApi {
  readonly httpUrl: string;
  readonly publicUrl: string;
  /** One-time link for the first person; null once somebody has an account. */
  readonly welcomeLink: string | null;
}

export interface ApiSurroundings {
  readonly fleet: () => Fleet;
  readonly line: HouseLine;
}

/** The web listener over the stores. */
export async function startApiRole(
  house: OpenedHouse,
  { fleet, line }: ApiSurroundings,
): Promise<RunningApi> {
  const { folder, records, settings, clock, metrics, log, undo } = house;
  const source = telemetrySource(folder, settings.influx);
  const whatIf = createWhatIfDesk({
    records,
    openReplayer: () => startReplayWorker(source),
    clock,
  });
  undo.add(() => whatIf.close());
  const listen = { host: settings.httpHost, port: settings.httpPort };
  const guess = `http://${urlHost(listen.host)}:${listen.port}`;
  const sendsPush = settings.alerting.vapidSubject !== null;
  const api = await buildApi({
    telemetry: await house.telemetry(),
    records,
    fleet,
    clock,
    metrics,
    whatIf,
    live: line.ingest,
    health: oneAfterAnother(() => houseHealth(line)),
    alerting: await alertingDoor(records, clock, sendsPush, () => line.alerting.messagesWait()),
    pages: await pageDoor(records, line.ingest, clock),
    log: log.child({ part: 'api' }),
    publicUrl: settings.publicUrl ?? guess,
    trustedProxies: settings.trustedProxies,
    dashboardFolder: dashboardBuild(log),
  });
  const where = `${listen.host}:${listen.port}`;
  await startListening(() => api.listen(listen), where, 'LINESIDE_HTTP');
  undo.add(() => api.close());
  const { port } = api.server.address() as AddressInfo;
  const httpUrl = `http://${urlHost(listen.host)}:${port}`;
  const publicUrl = settings.publicUrl ?? httpUrl;
  const secret = await firstInvitation(records, clock);
  return {
    httpUrl,
    publicUrl,
    welcomeLink: secret === null ? null : `${publicUrl}/#/welcome/${secret}`,
  };
}
