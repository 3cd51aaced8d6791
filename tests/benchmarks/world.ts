/** How fast the invented world steps: forty units of all climates, a sample a minute. */
import { cpuUsage } from 'node:process';
import { applyFleet, type Fleet, parseFleetFile, toFleet } from '@lineside/fleet';
import {
  CLIMATE_NAMES,
  CLIMATES,
  createWorld,
  fleetScenario,
  runWorld,
  type Scenario,
} from '@lineside/rooftop';
import type { BenchOptions } from './bench-options.ts';

const UNITS = 40;
const DEFAULT_WEEKS = 6;
const DEFAULT_SEED = 1;
const DAYS_PER_WEEK = 7;
const MINUTES_PER_DAY = 1440;
const MS_PER_DAY = 86_400_000;
const YEAR_UNIT_MINUTES: number = UNITS * 365 * MINUTES_PER_DAY;
const NOW_MS = Date.UTC(2026, 11, 31);

/** `npm run bench -- world`; `--weeks 52` plays the whole year. */
export async function benchWorld({ weeks, seed }: BenchOptions): Promise<void> {
  const days = (weeks ?? DEFAULT_WEEKS) * DAYS_PER_WEEK;
  const fleet = fleetOfAllClimates();
  const scenario = scenarioOf(fleet, seed ?? DEFAULT_SEED, days);
  const { startMs } = scenario;
  const world = createWorld({ seed: seed ?? DEFAULT_SEED, fleet, scenario, startMs });
  let readings = 0;
  const startedMs = performance.now();
  const before = cpuUsage();
  runWorld(
    world,
    { everyMs: 60_000, endMs: NOW_MS },
    {
      reading: () => {
        readings += 1;
      },
      weather: () => {},
      service: () => {},
    },
  );
  const used = cpuUsage(before);
  const seconds = (performance.now() - startedMs) / 1000;
  const coreSeconds = (used.user + used.system) / 1e6;
  const steps = UNITS * days * MINUTES_PER_DAY;
  const perSecond = steps / coreSeconds;
  console.log(`\n${UNITS} units, ${days} days of minutes: ${readings} readings of ${steps} steps`);
  console.log(`  ${perSecond.toFixed(0)} unit steps a second of a core (goal 70000)`);
  console.log(
    `  took ${seconds.toFixed(0)} s, ${coreSeconds.toFixed(0)} s of a core; ` +
      `a year at this rate ${(YEAR_UNIT_MINUTES / perSecond).toFixed(0)} s (goal 300)`,
  );
}

function fleetOfAllClimates(): Fleet {
  const sites = CLIMATE_NAMES.map((id, index) => ({
    id,
    latitude: 44,
    longitude: -63,
    units: Array.from({ length: UNITS }, (_, unit) => unit)
      .filter((unit) => unit % CLIMATE_NAMES.length === index)
      .map((unit) => ({
        id: `rtu-${String(unit).padStart(2, '0')}`,
        supply: { volts: 480, hertz: 60, grounding: 'solid-wye' },
        contactors: [
          { name: 'C1', load: 'compressor 1', poles: 3, fla: 18 },
          { name: 'C2', load: 'compressor 2', poles: 3, fla: 14 },
          { name: 'C3', load: 'fans', poles: 3, fla: 5 },
        ],
        node: { supply: 'battery' },
      })),
  }));
  return toFleet(applyFleet(null, parseFleetFile(JSON.stringify({ sites }), 'bench')));
}

function scenarioOf(fleet: Fleet, seed: number, days: number): Scenario {
  const drawn = fleetScenario({ fleet, seed, nowMs: NOW_MS, historyDays: days });
  const climates = Object.fromEntries(CLIMATE_NAMES.map((name) => [name, CLIMATES[name]]));
  return { ...drawn, startMs: NOW_MS - days * MS_PER_DAY, climates };
}
