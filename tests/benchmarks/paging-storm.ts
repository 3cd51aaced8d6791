/** 2,000 units that raise alarms within five minutes, and the hours after, on a clock that runs. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { applyFinding } from '@lineside/alarms';
import { type Channel, startAlerting } from '@lineside/alerting';
import { type ContactPoint, openRecordStore, type RecordStore } from '@lineside/storage';
import { pino } from 'pino';
import { Registry } from 'prom-client';
import { PIER_ROTA } from '../../packages/paging/test/alarm-lives.ts';

const UNITS = 2_000;
const MINUTE_MS = 60_000;
const RAISED_WITHIN_MS = 5 * MINUTE_MS;
const HOUR_MS = 60 * MINUTE_MS;
/** How much faster than the wall the clock runs: the storm takes 15 s, the hours after 6 min. */
const SPEED = 20;
const WATCHED_MS = 2 * HOUR_MS;
const PAGES_PER_HOUR_GOAL = 6;
const EMERGENCY_EVERY = 20;

interface HandedOver {
  readonly person: string;
  readonly atMs: number;
}

/** Prints pages a person and hour, and memory before, at the end of the storm, and hours later. */
export async function stormOfAlarms(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'lineside-storm-'));
  const records = await openRecordStore({ file: join(folder, 'records.db') });
  const startedMs = performance.now();
  const startMs = Date.now();
  const clock = (): number => Math.floor(startMs + (performance.now() - startedMs) * SPEED);
  const handedOver: HandedOver[] = [];
  try {
    await prepare(records, startMs);
    const alerting = await startAlerting({
      records,
      fleet: () => ({ sites: [], units: [] }),
      latest: () => null,
      judgedThroughMs: async (units) => units.map(() => null),
      publicUrl: () => 'https://lineside.example',
      clock,
      random: Math.random,
      log: pino({ level: 'warn' }),
      metrics: new Registry(),
      channels: new Map([['webhook', listening(handedOver, clock)]]),
    });
    const before = heapMiB();
    await raiseAll(records, clock, () => alerting.journalGrew());
    const allMs = clock() + 5 * MINUTE_MS;
    await until(() => alerting.health().asksOpen === UNITS || clock() > allMs);
    const after = heapMiB();
    const asks = alerting.health().asksOpen;
    await until(() => clock() - startMs > WATCHED_MS);
    print(handedOver, asks);
    const later = heapMiB();
    console.log(`  heap ${before} MiB before, ${after} at its end, ${later} two hours after`);
    await alerting.stop();
  } finally {
    await records.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

function listening(handedOver: HandedOver[], clock: () => number): Channel {
  return {
    kind: 'webhook',
    handOver: async (address) => {
      const { person } = address as { readonly person: string };
      handedOver.push({ person, atMs: clock() });
      return { outcome: 'handed-over' };
    },
    close: async () => {},
  };
}

async function prepare(records: RecordStore, nowMs: number): Promise<void> {
  await records.saveRota(PIER_ROTA, 0);
  for (const person of ['ana', 'ben', null]) {
    const name = person ?? 'desk';
    const contact: ContactPoint = {
      id: `phone-${name}`,
      person,
      channel: 'webhook',
      name,
      address: { person: name },
      createdAtMs: nowMs,
      origin: 'file',
    };
    await records.setContactPoint(contact);
  }
}

/** Each alarm at its own moment, as judging commits them. */
async function raiseAll(
  records: RecordStore,
  clock: () => number,
  grew: () => void,
): Promise<void> {
  const fromMs = clock();
  for (let unit = 0; unit < UNITS; unit += 1) {
    await until(() => clock() - fromMs >= (unit * RAISED_WITHIN_MS) / UNITS);
    const context = { site: 'pier-nine', unit: `u${unit}`, newId: () => `storm-${unit}` };
    const priority = unit % EMERGENCY_EVERY === 7 ? 'emergency' : 'urgent';
    const entries = applyFinding(
      null,
      {
        change: 'opened',
        kind: 'leakage',
        priority,
        atMs: clock(),
        headline: 'Leakage 14 mA',
        evidence: { leakageMilliamps: 14 + (unit % 30) },
        causes: [{ cause: 'water-ingress', probability: 0.8, because: ['it rains'] }],
      },
      context,
    );
    await records.changeAlarms(entries.map((entry) => ({ entry })));
    grew();
  }
}

function print(handedOver: readonly HandedOver[], asks: number): void {
  const people = new Set(handedOver.map(({ person }) => person));
  console.log(
    `\n${UNITS} units raise within ${RAISED_WITHIN_MS / MINUTE_MS} minutes, nobody answers`,
  );
  console.log(`  ${asks} alarms ask at the end of it`);
  for (const person of people) {
    const times = handedOver.flatMap((one) => (one.person === person ? one.atMs : []));
    const most = Math.max(
      ...times.map((toMs) => times.filter((at) => at <= toMs && at > toMs - HOUR_MS).length),
    );
    console.log(`  ${person}: ${most} pages in any hour at most (goal ${PAGES_PER_HOUR_GOAL})`);
  }
}

function heapMiB(): string {
  globalThis.gc?.();
  return (process.memoryUsage().heapUsed / 2 ** 20).toFixed(0);
}

async function until(isSo: () => boolean): Promise<void> {
  while (!isSo()) await new Promise((resolve) => setTimeout(resolve, 5));
}
