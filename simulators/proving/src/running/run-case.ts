import type { Unit } from '@lineside/fleet';
import { phasesOf } from '@lineside/judging';
import { WEATHER_UNIT } from '@lineside/readings';
import { createWorld, type RunTruth, type UnitWorld, type World } from '@lineside/rooftop';
import type { CasePlan } from '../cohorts/case-plan.ts';
import { type ObservedUnit, observedUnits } from '../scoring/observed-unit.ts';
import type { Judge } from './judge.ts';
import { unitTruth } from './unit-truth.ts';

/** Who judges: a name, and a fresh judge for each unit. */
export interface Judging {
  readonly name: string;
  readonly judge: (unit: Unit) => Judge;
}

/** What a case brought, by the name of the judging. Plain data. */
export interface CaseOutcome {
  readonly cohort: string;
  readonly seed: number;
  readonly units: Readonly<Record<string, readonly ObservedUnit[]>>;
}

const MINUTE_MS = 60_000;
/** As the stations of the world report. */
const REPORT_EVERY_MS: number = 5 * MINUTE_MS;

/**
 * Simulates a case minute by minute and lets all judgings watch the same readings, reports and
 * service records, in order of event time. What the network does to them is left out: a judgement
 * does not depend on when a reading comes in.
 */
export function runCase(plan: CasePlan, judgings: readonly Judging[]): CaseOutcome {
  const { fleet, scenario, seed, endMs, cohort } = plan;
  const world = createWorld({ seed, fleet, scenario, startMs: scenario.startMs });
  const watched = world.units.map((unitWorld) => ({
    unitWorld,
    judges: judgings.map(({ judge }) => judge(unitWorld.unit)),
  }));
  for (let atMs = scenario.startMs + MINUTE_MS; atMs <= endMs; atMs += MINUTE_MS) {
    if (atMs % REPORT_EVERY_MS === 0) tellWeather(world, atMs, watched);
    for (const one of watched) stepUnit(one, atMs);
  }
  const truth: RunTruth = {
    seed,
    startMs: scenario.startMs,
    endMs,
    units: world.units.map((unitWorld) => unitTruth(unitWorld, endMs)),
  };
  return { cohort, seed, units: outcome(truth, watched, judgings) };
}

interface Watched {
  readonly unitWorld: UnitWorld;
  readonly judges: readonly Judge[];
}

function tellWeather(world: World, atMs: number, watched: readonly Watched[]): void {
  for (const station of world.stations) {
    const { channels } = station.step(atMs);
    const report = { site: station.site, unit: WEATHER_UNIT, atMs, channels };
    for (const { judges } of watched) for (const judge of judges) judge.weather(report);
  }
}

function stepUnit({ unitWorld, judges }: Watched, atMs: number): void {
  const reading = unitWorld.step(atMs);
  for (const { atMs: writtenMs, line } of unitWorld.takeServiceRecords()) {
    const event = { atMs: writtenMs, action: line.action, phases: phasesOf(line['phases']) };
    for (const judge of judges) judge.service(event);
  }
  if (reading === null) return;
  for (const judge of judges) judge.reading(reading.atMs, reading.channels);
}

function outcome(
  truth: RunTruth,
  watched: readonly Watched[],
  judgings: readonly Judging[],
): Record<string, readonly ObservedUnit[]> {
  const byName: Record<string, readonly ObservedUnit[]> = {};
  for (const [index, { name }] of judgings.entries()) {
    const findings = watched.map(({ unitWorld, judges }) => {
      const judged = judges[index]?.end(truth.endMs) ?? { alarms: [], episodes: [] };
      const { site, id } = unitWorld.unit;
      return { site, unit: id, ...judged, observedMs: null };
    });
    byName[name] = observedUnits(truth, findings);
  }
  return byName;
}
