/** From a reading to a phone with 5,000 units reporting, and a storm of 2,000 alarms. */
import { dirname } from 'node:path';
import mqtt, { type MqttClient } from 'mqtt';
import { token } from '../end-to-end/installation.ts';
import { minutePack } from '../end-to-end/packs.ts';
import {
  type ServerProcess,
  startServerProcess,
  temporaryPlace,
} from '../end-to-end/server-process.ts';
import { killsWhilePaging } from '../faults/kills-while-paging.ts';
import { type NodeSignIn, nodeSignIns, oneCrewPerSite } from '../faults/paged-place.ts';
import { Phones, type ReceivedPage } from '../faults/phones.ts';
import type { BenchOptions } from './bench-options.ts';
import { stormOfAlarms } from './paging-storm.ts';

const SITES = 100;
const UNITS_PER_SITE = 50;
/** Emergencies that have pages of their own at once: three to one person. */
const EMERGENCIES_PER_SITE = 3;
const REPORT_EVERY_MS = 60_000;
/** Emergencies are spread over this. */
const SPREAD_MS = 60_000;
const CONNECT_AT_ONCE = 100;
const MINUTE_MS = 60_000;
const PACK_MINUTES = 10;
const GOAL_MS = 1_000;

/** `npm run bench -- paging` */
export async function benchPaging(): Promise<void> {
  await stormOfAlarms();
  await readingToPhone();
}

/** `npm run bench -- paging-kills --cases 100` */
export async function benchPagingKills({ cases, seed }: BenchOptions): Promise<void> {
  let state = seed ?? 1;
  const random = (): number => {
    state = (state * 1_664_525 + 1_013_904_223) % 2 ** 32;
    return state / 2 ** 32;
  };
  const { kills, alarms, pages, repeats, faults } = await killsWhilePaging(cases ?? 100, random);
  console.log(`\n${kills} kills -9 while ${alarms} emergencies were paged`);
  console.log(`  ${pages} pages arrived, ${repeats} of them again under their own key`);
  console.log(`  ${faults.length === 0 ? 'none lost' : faults.join('\n  ')}`);
  if (faults.length > 0) process.exitCode = 1;
}

async function readingToPhone(): Promise<void> {
  const sites = Array.from({ length: SITES }, (_, index) => `s${index}`);
  const units = sites.flatMap((site) =>
    Array.from({ length: UNITS_PER_SITE }, (_, index) => ({ site, unit: `u${index}` })),
  );
  const place = temporaryPlace(fleetOf(sites));
  const arrived = new Map<string, number>();
  const phones = new Phones(
    () => 0,
    (page) => noteArrival(arrived, page),
  );
  await phones.listen();
  const env = oneCrewPerSite(dirname(place.fleetFile), sites, phones);
  const nodes = await nodeSignIns(place.data, units);
  const server = await startServerProcess(place, env);
  const clients: MqttClient[] = [];
  try {
    for (let from = 0; from < nodes.length; from += CONNECT_AT_ONCE) {
      const some = nodes.slice(from, from + CONNECT_AT_ONCE);
      clients.push(...(await Promise.all(some.map((node) => connect(server, node)))));
    }
    const timer = reportAll(nodes, clients);
    await pause(REPORT_EVERY_MS);
    const sent = await raiseEmergencies(nodes, clients);
    await pause(10_000);
    clearInterval(timer);
    print(sent, arrived);
    await printMemory(server, place.data);
  } finally {
    await Promise.all(clients.map((client) => client.endAsync(true)));
    await server.stop();
    await phones.close();
    place.dispose();
  }
}

function connect(server: ServerProcess, { username, password }: NodeSignIn): Promise<MqttClient> {
  return mqtt.connectAsync(server.mqtt, { username, password, reconnectPeriod: 0, keepalive: 0 });
}

function isForEmergency({ unit }: NodeSignIn): boolean {
  return Number(unit.slice(1)) < EMERGENCIES_PER_SITE;
}

/** One reading a minute of each unit but those that are kept for emergencies, evenly spread. */
function reportAll(nodes: readonly NodeSignIn[], clients: readonly MqttClient[]): NodeJS.Timeout {
  const everyMs = 20;
  const perTick = Math.ceil((nodes.length * everyMs) / REPORT_EVERY_MS);
  let next = 0;
  return setInterval(() => {
    for (let one = 0; one < perTick; one += 1) {
      const node = nodes[next % nodes.length];
      const client = clients[next % nodes.length];
      next += 1;
      if (node === undefined || isForEmergency(node)) continue;
      const topic = `lineside/${node.site}/${node.unit}/telemetry`;
      client?.publish(topic, minutePack(Date.now(), 1, 1.2), { qos: 1 });
    }
  }, everyMs);
}

/** Gives when each unit's pack was sent, by `<site>/<unit>`. */
async function raiseEmergencies(
  nodes: readonly NodeSignIn[],
  clients: readonly MqttClient[],
): Promise<ReadonlyMap<string, number>> {
  const sent = new Map<string, number>();
  const emergencies = nodes.flatMap((node, index) => {
    const client = clients[index];
    return isForEmergency(node) && client !== undefined ? [{ node, client }] : [];
  });
  for (const { node, client } of emergencies) {
    const fromMs = Date.now() - (PACK_MINUTES - 1) * MINUTE_MS;
    sent.set(`${node.site}/${node.unit}`, performance.now());
    const topic = `lineside/${node.site}/${node.unit}/telemetry`;
    client.publish(topic, minutePack(fromMs, PACK_MINUTES, 45), { qos: 1 });
    await pause(SPREAD_MS / emergencies.length);
  }
  return sent;
}

/** Of an emergency's own page: its words name unit and site. */
function noteArrival(arrived: Map<string, number>, { body }: ReceivedPage): void {
  const { data } = JSON.parse(body) as { readonly data: { readonly title: string } };
  const match = /^EMERGENCY leakage: (u\d+), (s\d+)$/.exec(data.title);
  const name = `${match?.[2]}/${match?.[1]}`;
  if (match !== null && !arrived.has(name)) arrived.set(name, performance.now());
}

function print(sent: ReadonlyMap<string, number>, arrived: ReadonlyMap<string, number>): void {
  const delays = [...sent].flatMap(([name, sentMs]) => {
    const atMs = arrived.get(name);
    return atMs === undefined ? [] : [atMs - sentMs];
  });
  delays.sort((one, other) => one - other);
  const within = (share: number): string =>
    `${(delays[Math.min(delays.length - 1, Math.floor(delays.length * share))] ?? Number.NaN).toFixed(0)} ms`;
  console.log(
    `\nfrom a reading sent to a page at a phone, ${SITES * UNITS_PER_SITE} units reporting`,
  );
  console.log(`  ${delays.length} of ${sent.size} emergencies arrived`);
  console.log(
    `  half within ${within(0.5)}, 99 of 100 within ${within(0.99)} (goal ${GOAL_MS} ms)`,
  );
}

async function printMemory(server: ServerProcess, data: string): Promise<void> {
  const office = await token(data, ['--role', 'office']);
  const headers = { authorization: `Bearer ${office}` };
  const metrics = await (await fetch(`${server.http}/metrics`, { headers })).text();
  const bytes = Number(/^process_resident_memory_bytes (\S+)$/m.exec(metrics)?.[1]);
  console.log(`  the server has ${(bytes / 2 ** 20).toFixed(0)} MiB resident`);
}

function fleetOf(sites: readonly string[]): string {
  const units = Array.from(
    { length: UNITS_PER_SITE },
    (_, index) => `      - { id: u${index}, supply: { volts: 600 } }\n`,
  ).join('');
  return `sites:\n${sites.map((site) => `  - id: ${site}\n    units:\n${units}`).join('')}`;
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
