/** A storm of emergencies that is paged to phones on loopback while the server is killed. */
import { dirname, join } from 'node:path';
import type { Alarm } from '@lineside/alarms';
import {
  type OutboxMessage,
  openRecordStore,
  type Page,
  type PageRequest,
  type RecordStore,
} from '@lineside/storage';
import mqtt from 'mqtt';
import { token } from '../end-to-end/installation.ts';
import { minutePack } from '../end-to-end/packs.ts';
import {
  type ServerProcess,
  startServerProcess,
  temporaryPlace,
} from '../end-to-end/server-process.ts';
import { type NodeSignIn, nodeSignIns, oneCrewPerSite } from './paged-place.ts';
import { Phones } from './phones.ts';

const SITES_PER_KILL = 2;
const UNITS_PER_SITE = 2;
const MINUTE_MS = 60_000;

/** Found at once, and not long ago: nine minutes are no backlog. */
const PACK_MINUTES = 10;
const EMERGENCY_MILLIAMPS = 45;

/** Longest life after a round's packs were sent; each moment of a page's way is within it. */
const LIFE_MOST_MS = 700;
const PHONE_MOST_MS = 60;
const QUIET_WITHIN_MS = 60_000;

export interface PagedStorm {
  readonly kills: number;
  readonly alarms: number;
  /** Pages that arrived, repeats left out, and how many arrived more than once. */
  readonly pages: number;
  readonly repeats: number;
  /** What is wrong; empty when all promises held. */
  readonly faults: readonly string[];
}

/**
 * Raises emergencies round by round, each at other sites with another person on call, and kills the
 * server some moment later. What a node has no PUBACK for it sends again, as nodes do.
 *
 * @param random from 0 to below 1: when the server is killed, and how slow phones answer.
 */
export async function killsWhilePaging(kills: number, random: () => number): Promise<PagedStorm> {
  const sites = Array.from({ length: kills * SITES_PER_KILL }, (_, index) => `s${index}`);
  const place = temporaryPlace(fleetOf(sites));
  const phones = new Phones(() => random() * PHONE_MOST_MS);
  await phones.listen();
  let server: ServerProcess | null = null;
  try {
    const env = oneCrewPerSite(dirname(place.fleetFile), sites, phones);
    const nodes = await nodeSignIns(place.data, unitsOf(sites));
    let waiting: readonly NodeSignIn[] = [];
    for (let kill = 0; kill < kills; kill += 1) {
      server = await startServerProcess(place, env);
      const from = kill * SITES_PER_KILL * UNITS_PER_SITE;
      const round = [...waiting, ...nodes.slice(from, from + SITES_PER_KILL * UNITS_PER_SITE)];
      const lifeMs = random() * LIFE_MOST_MS;
      const sent = send(server, round);
      await new Promise((resolve) => setTimeout(resolve, lifeMs));
      await server.kill();
      waiting = await sent;
    }
    server = await startServerProcess(place, env);
    await send(server, waiting);
    await untilQuiet(server, await token(place.data, ['--role', 'office']));
    await server.stop();
    return await judge(place.data, kills, nodes, phones);
  } finally {
    await server?.kill();
    await phones.close();
    place.dispose();
  }
}

/** Sends a pack for each node; gives those that were not acknowledged. */
async function send(
  server: ServerProcess,
  nodes: readonly NodeSignIn[],
): Promise<readonly NodeSignIn[]> {
  const fromMs = Math.floor(Date.now() / MINUTE_MS) * MINUTE_MS - (PACK_MINUTES - 1) * MINUTE_MS;
  const pack = minutePack(fromMs, PACK_MINUTES, EMERGENCY_MILLIAMPS);
  const unheard = await Promise.all(
    nodes.map(async (node) => {
      const { site, unit, username, password } = node;
      const client = mqtt.connect(server.mqtt, { username, password, reconnectPeriod: 0 });
      const isDone = await new Promise<boolean>((resolve) => {
        client.on('error', () => resolve(false));
        client.on('close', () => resolve(false));
        client.publish(`lineside/${site}/${unit}/telemetry`, pack, { qos: 1 }, (error) =>
          resolve(!error),
        );
      });
      await client.endAsync(true);
      return isDone ? [] : [node];
    }),
  );
  return unheard.flat();
}

/** Until everything is judged and nothing waits in the outbox, for a while. */
async function untilQuiet(server: ServerProcess, office: string): Promise<void> {
  const headers = { authorization: `Bearer ${office}` };
  const endMs = Date.now() + QUIET_WITHIN_MS;
  for (let calm = 0; calm < 8; ) {
    if (Date.now() > endMs) throw new Error('the outbox does not become empty');
    await new Promise((resolve) => setTimeout(resolve, 500));
    const health = (await (await fetch(`${server.http}/api/health`)).json()) as {
      readonly pending: number;
    };
    const metrics = await (await fetch(`${server.http}/metrics`, { headers })).text();
    const isEmpty = /^lineside_outbox_waiting 0$/m.test(metrics);
    calm = health.pending === 0 && isEmpty ? calm + 1 : 0;
  }
}

async function judge(
  data: string,
  kills: number,
  nodes: readonly NodeSignIn[],
  phones: Phones,
): Promise<PagedStorm> {
  const records = await openRecordStore({ file: join(data, 'records.db') });
  try {
    const alarms = (await all((page) => records.alarms({ ...page, state: 'standing' }))).filter(
      ({ kind, priority }) => kind === 'leakage' && priority === 'emergency',
    );
    const messages = await all((page) => records.messages(page));
    const bodies = new Map<string, Set<string>>();
    for (const { id, body } of phones.received) {
      bodies.set(id, (bodies.get(id) ?? new Set()).add(body));
    }
    const faults = [
      ...(alarms.length === nodes.length
        ? []
        : [`${nodes.length} emergencies were sent, ${alarms.length} stand`]),
      ...(phones.forged === 0 ? [] : [`${phones.forged} pages with a wrong signature`]),
      ...[...bodies].flatMap(([id, texts]) => (texts.size === 1 ? [] : [`two bodies as ${id}`])),
      ...messageFaults(messages, bodies),
      ...(await alarmFaults(records, alarms, messages, bodies)),
    ];
    const pages = bodies.size;
    return {
      kills,
      alarms: alarms.length,
      pages,
      repeats: phones.received.length - pages,
      faults,
    };
  } finally {
    await records.close();
  }
}

/** Each message was handed over, and a phone has it under its own key. */
function messageFaults(
  messages: readonly OutboxMessage[],
  bodies: ReadonlyMap<string, unknown>,
): readonly string[] {
  const faults = messages.flatMap(({ id, revision, state, failure }) => {
    if (state !== 'handed-over') return [`${id} is ${state}: ${failure}`];
    return bodies.has(`${id}.${revision}`) ? [] : [`${id} revision ${revision} never arrived`];
  });
  const ids = new Set(messages.map(({ id }) => id));
  const strangers = [...bodies.keys()].filter((id) => !ids.has(id.replace(/\.\d+$/, '')));
  return [...faults, ...strangers.map((id) => `${id} arrived and is in no outbox`)];
}

/** Each alarm has one page of its own that arrived at whoever is on call for its site. */
async function alarmFaults(
  records: RecordStore,
  alarms: readonly Alarm[],
  messages: readonly OutboxMessage[],
  bodies: ReadonlyMap<string, unknown>,
): Promise<readonly string[]> {
  const pagesOf = new Map<string, string[]>();
  for (const { id, revision, words, pageKey, person } of messages) {
    // Asked in vain, the alarm goes on to the office, which has a page of its own for it.
    if (person === null) continue;
    const { url } = words as { readonly url: string };
    const link = await records.pageLink(/\/p\/([\w-]+)\./.exec(url)?.[1] ?? '');
    if (!bodies.has(`${id}.${revision}`) || !pageKey.startsWith('alone')) continue;
    for (const alarmId of link?.alarmIds ?? []) {
      pagesOf.set(alarmId, [...(pagesOf.get(alarmId) ?? []), pageKey]);
    }
  }
  return alarms.flatMap(({ id, site, unit }) => {
    const pages = pagesOf.get(id)?.length ?? 0;
    return pages === 1 ? [] : [`${site}/${unit} has ${pages} pages of its own that arrived`];
  });
}

async function all<T>(read: (page: PageRequest) => Promise<Page<T>>): Promise<readonly T[]> {
  const items: T[] = [];
  let cursor: string | null = null;
  do {
    const page: Page<T> = await read({ limit: 1000, cursor });
    items.push(...page.items);
    cursor = page.next;
  } while (cursor !== null);
  return items;
}

function unitsOf(sites: readonly string[]): readonly { site: string; unit: string }[] {
  return sites.flatMap((site) =>
    Array.from({ length: UNITS_PER_SITE }, (_, index) => ({ site, unit: `u${index}` })),
  );
}

function fleetOf(sites: readonly string[]): string {
  const units = Array.from(
    { length: UNITS_PER_SITE },
    (_, index) => `      - { id: u${index}, supply: { volts: 600 } }\n`,
  ).join('');
  return `sites:\n${sites.map((site) => `  - id: ${site}\n    units:\n${units}`).join('')}`;
}
