import { randomBytes } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DEMO_FLEET_FILE, demoScenario, startSimulator } from '@lineside/rooftop';
import type { ServiceRecord } from '@lineside/storage';
import { pino } from 'pino';
import { CommandFailure, EXIT } from '../failure.ts';
import { startEverything, type WholeServer } from '../serve/start-everything.ts';
import { untilToldToStop } from '../serve/stop-signal.ts';
import { readSettings, type ServerSettings } from '../settings.ts';
import { issueNodeCredentials } from '../simulation/credentials.ts';
import { withDemoOnCall } from '../simulation/demo-on-call.ts';
import { startDemoPhones } from '../simulation/demo-phones.ts';
import { untilNodesMayCome } from '../simulation/nodes-may-come.ts';
import { SimulationProgress } from '../simulation/progress.ts';
import { LIVE_INTERVAL_MS, MS_PER_DAY, wholeNumber } from '../simulation/span.ts';

export interface DemoOptions {
  readonly data?: string;
  readonly days: string;
  readonly seed: string;
}

const USERNAME = 'demo';
const PASSWORD_BYTES = 9;
const LONGEST_HISTORY_DAYS = 42;

/** A server and a simulated fleet in one process; `Ctrl-C` ends all of it. */
export async function demo(options: DemoOptions): Promise<void> {
  const days = wholeNumber('--days', options.days, [0, LONGEST_HISTORY_DAYS]);
  const seed = wholeNumber('--seed', options.seed, [0, 0xffff_ffff]);
  const folder = options.data ?? mkdtempSync(join(tmpdir(), 'lineside-demo-'));
  const phones = await startDemoPhones((words) => process.stdout.write(words));
  const settings = withDemoOnCall(demoSettings(), folder, phones);
  const server = await startOnFreePorts(folder, settings);
  try {
    const password = await signIn(server);
    process.stdout.write(introduction(server, password, days));
    const simulator = await startFleet(server, seed, days);
    const stopped = untilToldToStop();
    await Promise.race([stopped, simulator.ended]);
    await simulator.stop();
  } finally {
    await server.close();
    await phones.close();
    if (options.data === undefined) rmSync(folder, { recursive: true, force: true });
  }
}

/** The demonstration speaks to the terminal itself; the server's log is for when it is asked for. */
function demoSettings(): ServerSettings {
  return readSettings({ LINESIDE_LOG_LEVEL: 'warn', ...process.env });
}

/** The usual ports where they are free, others where they are not. */
async function startOnFreePorts(folder: string, settings: ServerSettings): Promise<WholeServer> {
  const log = pino({ level: settings.logLevel }, pino.destination(2));
  const start = (ports: Partial<ServerSettings>): Promise<WholeServer> =>
    startEverything({
      fleetFile: DEMO_FLEET_FILE,
      dataFolder: folder,
      // Its phones are in this process: nobody would hear that it ended.
      isLookedAfter: false,
      settings: { ...settings, ...ports },
      log,
    });
  try {
    return await start({});
  } catch (error) {
    const chosen =
      process.env['LINESIDE_HTTP_PORT'] !== undefined ||
      process.env['LINESIDE_MQTT_PORT'] !== undefined;
    if (chosen || !(error instanceof CommandFailure) || !/port is in use/.test(error.message)) {
      throw error;
    }
    return start({ httpPort: 0, mqttPort: 0 });
  }
}

/**
 * Uses the one-time link for the visitor, with a new password at each start: nothing that could be
 * left open by habit. Null when the folder already has people, who sign in as they did before.
 */
async function signIn(server: WholeServer): Promise<string | null> {
  if (server.welcomeLink === null) return null;
  const secret = server.welcomeLink.slice(server.welcomeLink.lastIndexOf('/') + 1);
  const password = randomBytes(PASSWORD_BYTES).toString('base64url');
  const answer = await fetch(`${server.httpUrl}/api/invitation`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ secret, username: USERNAME, displayName: 'Demonstration', password }),
  });
  if (answer.status !== 201) {
    throw new CommandFailure(EXIT.cannotStart, `cannot make the demo account: ${answer.status}`);
  }
  return password;
}

function introduction(server: WholeServer, password: string | null, days: number): string {
  const active = server.fleet.units.filter((unit) => !unit.retired).length;
  return `
Lineside demonstration: ${active} simulated units on ${server.fleet.sites.length} sites. All of it is invented;
simulated results are never field performance.

  open      ${server.publicUrl}
  sign in   ${password === null ? 'as before' : `${USERNAME} / ${password}`}
  broker    ${server.mqttUrl}

The nodes now send ${days} days of history over MQTT, as after an outage; the page says how far it
is. A winter storm catches Gannet Wharf Market about four days ago. Look at
  - the top of the list: which units need a visit, and why
  - Gannet Wharf, RTU-1: leakage that grows with each wetting until the fuses go after the melt
  - a unit whose leakage appears only when it runs: that is in the load, not on the line side

What pages the three invented people on call would get is printed here as their phones would show
it, each with its link. Alarms of the history page once, a minute after they were found standing.

Ctrl-C ends all of it.

`;
}

async function startFleet(
  server: WholeServer,
  seed: number,
  days: number,
): Promise<ReturnType<typeof startSimulator>> {
  const nowMs = Date.now();
  const historyFromMs = nowMs - days * MS_PER_DAY;
  const startedAtMs = nowMs;
  const progress = new SimulationProgress(historyFromMs, nowMs);
  const credentials = await issueNodeCredentials(server.records, server.fleet, nowMs);
  await untilNodesMayCome(server.mqttUrl, credentials, (words) =>
    process.stdout.write(`${words}\n`),
  );
  return startSimulator({
    mqttUrl: server.mqttUrl,
    credentials,
    seed,
    fleet: server.fleet,
    scenario: demoScenario(nowMs),
    historyFromMs,
    liveIntervalMs: LIVE_INTERVAL_MS,
    live: true,
    onProgress: (step) => {
      const line = progress.take(step);
      if (line === null) return;
      const seconds = Math.round((Date.now() - startedAtMs) / 1000);
      process.stdout.write(`  ${String(seconds).padStart(3)} s  ${line}\n`);
    },
    postService: async ({ site, unit, atMs, line }) => {
      await server.records.addServiceRecord(serviceRecord(site, unit, atMs, line));
      server.ingest.serviceRecorded(site, unit);
    },
  });
}

function serviceRecord(
  site: string,
  unit: string,
  atMs: number,
  line: { readonly action: string },
): ServiceRecord {
  const time = new Date(atMs).toISOString();
  return {
    id: randomBytes(12).toString('base64url'),
    site,
    unit,
    atMs,
    action: line.action,
    body: { site, unit, time, ...line },
    recordedAtMs: Date.now(),
    recordedBy: 'simulator',
  };
}
