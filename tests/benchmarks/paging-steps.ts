/** How long steps of paging hold the main thread: 2,000 alarms at once, asked of a team of twelve. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { type AlarmJournalEntry, applyFinding } from '@lineside/alarms';
import { type Channel, startAlerting } from '@lineside/alerting';
import { parseRotaFile, type Rota } from '@lineside/oncall';
import { openRecordStore, type RecordStore } from '@lineside/storage';
import { pino } from 'pino';
import { Registry } from 'prom-client';

const UNITS = 2_000;
const SITES = 40;
const PEOPLE = 12;
const MINUTE_MS = 60_000;
const EMERGENCY_EVERY = 20;
const GOAL_MS = 50;
/** A Tuesday at noon. */
const START_MS = Date.UTC(2026, 0, 6, 12);
/** What is looked at: all raise at once, then each level of the ladder has had its time. */
const MOMENTS: readonly (readonly [string, number])[] = [
  ['raised', 0],
  ['second call', 16],
  ['whole team', 31],
  ['office', 61],
  ['handed over again', 75],
];

/** Prints the longest turn of the event loop in each moment of a storm. */
export async function stepsOfStorm(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'lineside-steps-'));
  const records = await openRecordStore({ file: join(folder, 'records.db') });
  let nowMs = START_MS;
  try {
    await prepare(records);
    const alerting = await startAlerting({
      records,
      fleet: () => FLEET,
      latest: () => null,
      judgedThroughMs: async (units) => units.map(() => null),
      publicUrl: () => 'https://lineside.example',
      clock: () => nowMs,
      random: () => 0.5,
      log: pino({ level: 'warn' }),
      metrics: new Registry(),
      channels: new Map([['webhook', AT_ONCE]]),
    });
    await rest();
    console.log(`\nlongest turn of the main thread, ${UNITS} alarms, a team of ${PEOPLE}`);
    let longestMs = 0;
    for (const [name, minute] of MOMENTS) {
      nowMs = START_MS + minute * MINUTE_MS;
      if (minute === 0) await raiseAll(records, nowMs);
      const turns = watchTurns();
      alerting.journalGrew();
      await rest();
      const { wallMs, cpuMs } = turns();
      const ownMs = cpuMs ?? wallMs;
      longestMs = Math.max(longestMs, ownMs);
      const words = `${ownMs.toFixed(0).padStart(4)} ms, ${wallMs.toFixed(0)} with what else ran`;
      console.log(`  ${name.padEnd(18)} ${words}`);
    }
    console.log(
      `  ${alerting.health().asksOpen} ask; longest ${longestMs.toFixed(0)} ms (goal ${GOAL_MS})`,
    );
    await alerting.stop();
  } finally {
    await records.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

const AT_ONCE: Channel = {
  kind: 'webhook',
  handOver: async () => ({ outcome: 'handed-over' }),
  close: async () => {},
};

const FLEET = {
  sites: Array.from({ length: SITES }, (_, index) => ({
    id: `site-${index}`,
    name: `Site number ${index}`,
    timezone: index % 2 === 0 ? 'America/New_York' : 'America/Chicago',
    latitudeDegrees: null,
    longitudeDegrees: null,
  })),
  units: [],
};

function rotaOfTwelve(): Rota {
  const ids = Array.from({ length: PEOPLE }, (_, index) => `p${index}`);
  const people = ids.map((id) => `  - { id: ${id}, name: Person ${id}, contacts: [${id}-phone] }`);
  return parseRotaFile(
    `people:
${people.join('\n')}
office: { name: Front desk, contacts: [office-desk] }
teams:
  - id: north
    name: North crew
    zone: UTC
    sites: []
    takesOtherSites: true
    first:
      - { from: 2026-01-05, handOver: { weekday: monday, time: "08:00" }, people: [${ids.join(', ')}] }
    second: { offset: 1 }
`,
    'rota.yaml',
  );
}

async function prepare(records: RecordStore): Promise<void> {
  const rota = rotaOfTwelve();
  await records.saveRota(rota, 0);
  for (const person of [...rota.people.map(({ id }) => id), null]) {
    const name = `${person ?? 'desk'}-phone`;
    const about = { id: name, person, channel: 'webhook', name, origin: 'file' } as const;
    await records.setContactPoint({ ...about, address: { person }, createdAtMs: START_MS });
  }
}

async function raiseAll(records: RecordStore, nowMs: number): Promise<void> {
  const entries = Array.from({ length: UNITS }, (_, unit) => raised(unit, nowMs)).flat();
  await records.changeAlarms(entries.map((entry) => ({ entry })));
}

function raised(unit: number, nowMs: number): readonly AlarmJournalEntry[] {
  const id = `0192f3c4-7a5e-7c1d-9b2e-${unit.toString(16).padStart(12, '0')}`;
  const context = { site: `site-${unit % SITES}`, unit: `rtu-${unit}`, newId: () => id };
  const finding = {
    change: 'opened',
    kind: 'leakage',
    priority: unit % EMERGENCY_EVERY === 7 ? 'emergency' : 'urgent',
    atMs: nowMs - unit,
    headline: 'Leakage 14 mA',
    evidence: { leakageMilliamps: 14 + (unit % 30) },
    causes: [{ cause: 'water-ingress', probability: 0.8, because: ['it rains'] }],
  } as const;
  return applyFinding(null, finding, context);
}

interface Turn {
  readonly wallMs: number;
  /** What of it the thread was given by the system; null where that cannot be read. */
  readonly cpuMs: number | null;
}

/** Begins to look at turns of the event loop; gives the longest ones since. */
function watchTurns(): () => Turn {
  let wallMs = 0;
  let cpuMs = 0;
  let lastWallMs = performance.now();
  let lastCpuMs = threadCpuMs();
  let isOver = false;
  const look = (): void => {
    const nowWallMs = performance.now();
    const nowCpuMs = threadCpuMs();
    wallMs = Math.max(wallMs, nowWallMs - lastWallMs);
    cpuMs = Math.max(cpuMs, (nowCpuMs ?? 0) - (lastCpuMs ?? 0));
    [lastWallMs, lastCpuMs] = [nowWallMs, nowCpuMs];
    if (!isOver) setImmediate(look);
  };
  setImmediate(look);
  return () => {
    isOver = true;
    return { wallMs, cpuMs: lastCpuMs === null ? null : cpuMs };
  };
}

/** Time on a core that the main thread had so far: its first number in Linux' schedstat, in ns. */
function threadCpuMs(): number | null {
  try {
    const text = readFileSync(`/proc/self/task/${process.pid}/schedstat`, 'latin1');
    return Number(text.split(' ')[0]) / 1e6;
  } catch {
    return null;
  }
}

/** Longer than any of these steps and their messages take. */
function rest(): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, 4_000));
}
