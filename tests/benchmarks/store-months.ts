/** A month of a fleet, stored in SQLite and in InfluxDB: are the findings the same, byte for byte? */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { applyFleet, type Fleet, parseFleetFile, toFleet, type Unit } from '@lineside/fleet';
import { createReplayer, type ReplayResult } from '@lineside/ingest';
import { phasesOf, type ServiceEvent } from '@lineside/judging';
import { CHANNEL_NAMES, type Reading, WEATHER_UNIT } from '@lineside/readings';
import { createWorld, fleetScenario, runWorld } from '@lineside/rooftop';
import {
  openReadings,
  openTelemetry,
  type TelemetrySource,
  type TelemetryStore,
} from '@lineside/storage';
import { HAS_INFLUXD, startInfluxServer } from '../contracts/influx-server.ts';
import type { BenchOptions } from './bench-options.ts';

const USUAL_UNITS = 50;
const USUAL_DAYS = 30;
const USUAL_MINUTES = 2;
const UNITS_A_SITE = 25;
const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;
const BATCH = 5_000;
const END_MS = Date.UTC(2026, 10, 30);

interface Kept {
  readonly name: string;
  readonly source: TelemetrySource;
  readonly store: TelemetryStore;
  writtenMs: number;
  judgedMs: number;
}

/** What a site has sent, in the order in which it arrived. */
interface SiteHistory {
  readonly units: readonly Unit[];
  readonly readings: readonly Reading[];
  readonly services: ReadonlyMap<string, readonly ServiceEvent[]>;
}

/** `npm run bench -- store-months [--units 500 --days 30 --every 2 --seed 1]` */
export async function benchStoreMonths(options: BenchOptions): Promise<void> {
  if (!HAS_INFLUXD) throw new Error("this benchmark needs influxd, Debian's package influxdb");
  const units = options.units ?? USUAL_UNITS;
  const days = options.days ?? USUAL_DAYS;
  const everyMinutes = options.every ?? USUAL_MINUTES;
  const seed = options.seed ?? 1;
  const folder = mkdtempSync(join(tmpdir(), 'lineside-bench-'));
  const server = await startInfluxServer();
  try {
    const influx = { url: server.url, token: null, org: null, bucket: 'months' };
    const both = [
      await keep('SQLite', { kind: 'sqlite', folder: join(folder, 'telemetry') }),
      await keep('InfluxDB', { kind: 'influxdb', server: influx }),
    ];
    console.log(`\n${units} units, ${days} days, a reading every ${everyMinutes} minutes`);
    const found = new Findings();
    for (let site = 0; site * UNITS_A_SITE < units; site++) {
      const count = Math.min(UNITS_A_SITE, units - site * UNITS_A_SITE);
      const history = play(fleetOf(site, count), seed + site, days, everyMinutes * MINUTE_MS);
      for (const one of both) await write(one, history.readings);
      await judgeSite(both, history, found);
      console.log(`  site ${site + 1}: ${found.words()}`);
    }
    await compareFleet(both, found);
    for (const { name, writtenMs, judgedMs } of both) {
      const written = (writtenMs / 1_000).toFixed(0);
      console.log(`${name}: written in ${written} s, judged in ${(judgedMs / 1_000).toFixed(0)} s`);
    }
    console.log(found.differences === 0 ? 'all findings are the same' : 'FINDINGS DIFFER');
    if (found.differences > 0) process.exitCode = 1;
    await Promise.all(both.map(({ store }) => store.close()));
  } finally {
    await server.stop();
    rmSync(folder, { recursive: true });
  }
}

async function keep(name: string, source: TelemetrySource): Promise<Kept> {
  return { name, source, store: await openTelemetry(source), writtenMs: 0, judgedMs: 0 };
}

/** What was found so far, alike or not. */
class Findings {
  #readings = 0;
  #alarms = 0;
  #episodes = 0;
  #bytes = 0;
  differences = 0;

  add(unit: string, results: readonly ReplayResult[]): void {
    const [first] = results;
    if (first === undefined) return;
    this.#readings += first.judgedReadings;
    this.#alarms += first.alarms.length;
    this.#episodes += first.episodes.length;
    this.same(
      unit,
      results.map((one) => JSON.stringify(one)),
    );
  }

  same(what: string, texts: readonly string[]): void {
    this.#bytes += texts[0]?.length ?? 0;
    if (texts.every((text) => text === texts[0])) return;
    this.differences += 1;
    console.log(`  ${what} differs`);
  }

  words(): string {
    return (
      `${this.#readings} readings, ${this.#alarms} alarms, ${this.#episodes} episodes, ` +
      `${this.#bytes} bytes of findings compared, ${this.differences} differences`
    );
  }
}

async function write(one: Kept, readings: readonly Reading[]): Promise<void> {
  const startedAt = performance.now();
  for (let at = 0; at < readings.length; at += BATCH) {
    await one.store.append(readings.slice(at, at + BATCH));
  }
  one.writtenMs += performance.now() - startedAt;
}

/** Through the code that judges late readings and other limits anew. */
async function judgeSite(
  both: readonly Kept[],
  { units, services }: SiteHistory,
  found: Findings,
): Promise<void> {
  const doors = await Promise.all(both.map(({ source }) => openReadings(source)));
  for (const unit of units) {
    const results: ReplayResult[] = [];
    for (const [place, one] of both.entries()) {
      const door = doors[place];
      if (door === undefined) continue;
      const startedAt = performance.now();
      const result = await createReplayer(door).replay({
        ref: { site: unit.site, unit: unit.id },
        settings: [{ fromMs: 0, unit }],
        base: null,
        throughMs: END_MS,
        services: services.get(unit.id) ?? [],
      });
      one.judgedMs += performance.now() - startedAt;
      results.push(result);
    }
    found.add(`${unit.site}/${unit.id}`, results);
  }
  for (const door of doors) door.close();
}

/** What screens show of the whole fleet, once the quarters are summed up. */
async function compareFleet(both: readonly Kept[], found: Findings): Promise<void> {
  const query = { fromMs: 0, toMs: END_MS, channels: [...CHANNEL_NAMES] };
  const extremes: string[] = [];
  for (const { store } of both) {
    await store.sumUp?.(END_MS + DAY_MS);
    extremes.push(JSON.stringify(await store.extremes(query)));
  }
  found.same('extremes of the fleet', extremes);
}

function play(fleet: Fleet, seed: number, days: number, everyMs: number): SiteHistory {
  const drawn = fleetScenario({ fleet, seed, nowMs: END_MS, historyDays: days });
  const scenario = { ...drawn, startMs: END_MS - days * DAY_MS };
  const world = createWorld({ seed, fleet, scenario, startMs: scenario.startMs });
  const arrived: { readonly atMs: number; readonly reading: Reading }[] = [];
  const services = new Map<string, ServiceEvent[]>();
  runWorld(
    world,
    { everyMs, endMs: END_MS },
    {
      reading: ({ site, unit, atMs, arrivalMs, channels }) =>
        arrived.push({ atMs: arrivalMs, reading: { site, unit, atMs, channels } }),
      weather: ({ site, atMs, channels }) =>
        arrived.push({ atMs, reading: { site, unit: WEATHER_UNIT, atMs, channels } }),
      service: ({ unit, atMs, line }) => {
        const event = { atMs, action: line.action, phases: phasesOf(line['phases']) };
        services.set(unit, [...(services.get(unit) ?? []), event]);
      },
    },
  );
  arrived.sort((one, other) => one.atMs - other.atMs);
  return { units: fleet.units, readings: arrived.map(({ reading }) => reading), services };
}

function fleetOf(site: number, units: number): Fleet {
  const one = {
    id: `site-${site + 1}`,
    latitude: 44,
    longitude: -63,
    units: Array.from({ length: units }, (_, unit) => ({
      id: `rtu-${String(unit + 1).padStart(2, '0')}`,
      supply: { volts: 480, hertz: 60, grounding: 'solid-wye' },
      contactors: [
        { name: 'C1', load: 'compressor 1', poles: 3, fla: 18 },
        { name: 'C2', load: 'compressor 2', poles: 3, fla: 14 },
        { name: 'C3', load: 'fans', poles: 3, fla: 5 },
      ],
      node: { supply: 'battery' },
    })),
  };
  return toFleet(applyFleet(null, parseFleetFile(JSON.stringify({ sites: [one] }), 'bench')));
}
