/** A server that judged some alarms, and links to pages about them as alerting would make them. */
import { join } from 'node:path';
import { pageLinkSecret, signPageLink } from '@lineside/alerting';
import { openRecordStore, type RecordStore } from '@lineside/storage';
import mqtt from 'mqtt';
import { eventually } from './eventually.ts';
import { nodeSignIn, token } from './installation.ts';
import { minutePack } from './packs.ts';
import { type ServerProcess, startServerProcess, temporaryPlace } from './server-process.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const DAY_MS = 24 * HOUR_MS;

const FLEET = `
sites:
  - id: harbour-mall
    name: Harbour Mall
    timezone: America/Halifax
    latitude: 44.65
    longitude: -63.57
    units:
      - id: rtu-01
        name: RTU-1, food court
        supply: { volts: 600, hertz: 60, grounding: solid-wye, mca: 38, mop: 50 }
        fuses: { class: RK5, amps: 50 }
        contactors: [{ name: C1, load: compressor 1, poles: 3, fla: 18 }]
        access: Ladder C, hatch key at security, upper roof
      - { id: rtu-02, name: "RTU-2, cinema", supply: { volts: 600 } }
      - { id: rtu-03, name: "RTU-3, library", supply: { volts: 600 } }
  - id: hilltop-school
    name: Hilltop School
    timezone: America/Halifax
    units:
      - { id: rtu-11, name: "RTU-11, gym", supply: { volts: 208 } }
      - { id: rtu-12, name: "RTU-12, workshop", supply: { volts: 208 } }
`;

const ROTA = {
  people: [{ id: 'ana', name: 'Ana Reyes', contacts: ['ana-phone'] }],
  office: { name: 'Front desk', contacts: ['desk'] },
  teams: [
    {
      id: 'north',
      name: 'North crew',
      zone: 'America/Halifax',
      sites: ['harbour-mall', 'hilltop-school'],
      first: [
        {
          from: '2026-01-05',
          handOver: { weekday: 'monday', time: '08:00' },
          people: ['ana'],
        },
      ],
    },
  ],
};

/** Site, unit and leakage in mA; the cinema's unit loses a phase instead. */
const LEAKS = [
  ['harbour-mall', 'rtu-01', 14],
  ['harbour-mall', 'rtu-02', null],
  ['harbour-mall', 'rtu-03', 12],
  ['hilltop-school', 'rtu-11', 13],
  ['hilltop-school', 'rtu-12', 11],
] as const;

interface KnownAlarm {
  readonly id: string;
  readonly site: string;
  readonly unit: string;
  readonly state: string;
  readonly acknowledgedBy: string | null;
}

export interface PagedHouse {
  readonly server: ServerProcess;
  /** Alarms by unit. */
  readonly alarms: ReadonlyMap<string, KnownAlarm>;
  /** Addresses of the page about one unit, about all units, and of one that is over. */
  readonly links: { readonly one: string; readonly storm: string; readonly over: string };
  /** The newest state of an alarm. */
  alarm(id: string): Promise<KnownAlarm>;
  dispose(): Promise<void>;
}

/** @param windMetresPerSecond what the outdoor station of the mall reports at last. */
export async function openPagedHouse(windMetresPerSecond: number): Promise<PagedHouse> {
  const place = temporaryPlace(FLEET);
  let server = await startServerProcess(place);
  const office = await token(place.data, ['--role', 'office']);
  const get = async <T>(path: string): Promise<T> => {
    const headers = { authorization: `Bearer ${office}` };
    return (await fetch(`${server.http}${path}`, { headers })).json() as T;
  };
  for (const [site, unit, milliamps] of LEAKS) {
    await publish(server, place.data, site, unit, weekOf(milliamps));
  }
  const weather = [{ n: 'wind', u: 'm/s', t: Date.now() / 1000 - 60, v: windMetresPerSecond }];
  await publish(server, place.data, 'harbour-mall', 'weather', [JSON.stringify(weather)]);
  const { items } = await eventually(
    () => get<{ items: readonly KnownAlarm[] }>('/api/alarms'),
    (page) => new Set(page.items.map(({ unit }) => unit)).size === LEAKS.length,
    { withinMs: 30_000 },
  );
  await server.stop();
  const links = await writeLinks(join(place.data, 'records.db'), items);
  server = await startServerProcess(place);
  return {
    server,
    alarms: new Map(items.map((alarm) => [alarm.unit, alarm])),
    links,
    alarm: (id) => get(`/api/alarms/${id}`),
    dispose: async () => {
      await server.stop();
      place.dispose();
    },
  };
}

/** Quiet hours of a week, and a night that ends with the leakage, or on two phases. */
function weekOf(milliamps: number | null): readonly string[] {
  const nowMs = Math.floor(Date.now() / MINUTE_MS) * MINUTE_MS;
  const quiet = Array.from({ length: 6 }, (_, day) =>
    minutePack(nowMs - (7 - day) * DAY_MS, 120, 1.2 + day / 10),
  );
  const last = minutePack(nowMs - 40 * MINUTE_MS, 39, milliamps ?? 1.9);
  const night = minutePack(nowMs - 240 * MINUTE_MS, 200, 1.9);
  return [...quiet, night, milliamps === null ? withoutPhaseA(last) : last];
}

function withoutPhaseA(pack: string): string {
  const records: { n?: string; v?: number }[] = JSON.parse(pack);
  const changed = records.map((record) => {
    if (record.n === 'ia') return { ...record, v: 0 };
    return record.n === 'ib' || record.n === 'ic' ? { ...record, v: 29 } : record;
  });
  return JSON.stringify(changed);
}

async function publish(
  server: ServerProcess,
  data: string,
  site: string,
  unit: string,
  packs: readonly string[],
): Promise<void> {
  const { username, password } = await nodeSignIn(data, site, unit);
  const node = await mqtt.connectAsync(server.mqtt, { username, password, reconnectPeriod: 0 });
  for (const pack of packs) {
    await node.publishAsync(`lineside/${site}/${unit}/telemetry`, pack, { qos: 1 });
  }
  await node.endAsync();
}

/** While no server runs: what alerting writes when it pages somebody. */
async function writeLinks(
  file: string,
  alarms: readonly KnownAlarm[],
): Promise<PagedHouse['links']> {
  const records = await openRecordStore({ file });
  try {
    const stored = await records.loadRota();
    await records.saveRota(ROTA, stored?.generation ?? 0);
    await commitLinks(records, alarms);
    const secret = await pageLinkSecret(records);
    const address = (id: string): string => `/p/${signPageLink(secret, id)}`;
    return { one: address('of-one'), storm: address('of-storm'), over: address('of-over') };
  } finally {
    await records.close();
  }
}

async function commitLinks(records: RecordStore, alarms: readonly KnownAlarm[]): Promise<void> {
  const nowMs = Date.now();
  const one = alarms.filter(({ unit }) => unit === 'rtu-01').map(({ id }) => id);
  const link = (id: string, alarmIds: readonly string[], expiresAtMs: number) => ({
    id,
    pageKey: id,
    person: 'ana',
    alarmIds,
    createdAtMs: nowMs - HOUR_MS,
    expiresAtMs,
  });
  const state = await records.alertingState();
  await records.commitAlerting({
    basedOn: state?.generation ?? 0,
    journalThrough: state?.journalThrough ?? 0,
    paging: state?.paging ?? null,
    asks: [],
    forgotten: [],
    withdrawn: [],
    messages: [],
    links: [
      link('of-one', one, nowMs + DAY_MS),
      link(
        'of-storm',
        alarms.map(({ id }) => id),
        nowMs + DAY_MS,
      ),
      link('of-over', one, nowMs - 1),
    ],
  });
}
