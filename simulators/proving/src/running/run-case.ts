import { addWeather, WeatherTrack, weatherFor } from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import { phasesOf } from '@lineside/judging';
import { WEATHER_UNIT } from '@lineside/readings';
import {
  createWorld,
  type RunSink,
  type RunTruth,
  runWorld,
  type UnitWorld,
} from '@lineside/rooftop';
import type { CasePlan } from '../cohorts/case-plan.ts';
import { IdealCase, type IdealOutcome } from '../ideal/ideal-case.ts';
import { type ObservedUnit, observedUnits } from '../scoring/observed-unit.ts';
import type { LeakageFigures } from '../sweep/leakage-figures.ts';
import type { Judge } from './judge.ts';

/** Who judges: a name, and fresh judges for the units of one site, in their order. */
export interface Judging {
  readonly name: string;
  readonly judges: (units: readonly Unit[]) => readonly Judge[];
}

/** What a case brought, by the name of the judging. Plain data. */
export interface CaseOutcome {
  readonly cohort: string;
  readonly seed: number;
  readonly units: Readonly<Record<string, readonly ObservedUnit[]>>;
  /** Of swept rivals, by name and setting; absent when none were asked for. */
  readonly sweep?: Readonly<Record<string, LeakageFigures>>;
  /** Of the detector that knows the world; absent when it was not asked for. */
  readonly ideal?: IdealOutcome;
}

interface Watched {
  readonly unitWorld: UnitWorld;
  readonly judges: readonly Judge[];
}

/**
 * Simulates a case and lets all judgings watch the same readings, reports and service records, by
 * event time. When the network brings them is left out: a judgement does not depend on it.
 *
 * @param withIdeal whether the detector that knows the world watches as well.
 */
export function runCase(
  plan: CasePlan,
  judgings: readonly Judging[],
  withIdeal: boolean = false,
): CaseOutcome {
  const { fleet, scenario, seed, endMs, cohort, everyMs, station } = plan;
  const { startMs } = scenario;
  const world = createWorld({ seed, fleet, scenario, startMs });
  const byJudging = judgings.map(({ judges }) => judges(world.units.map(({ unit }) => unit)));
  const watched = world.units.map((unitWorld, index) => ({
    unitWorld,
    judges: byJudging.flatMap((judges) => judges[index] ?? []),
  }));
  const ideal = withIdeal ? new IdealCase(plan, world.units) : null;
  runWorld(world, { everyMs, endMs }, sinkOf(watched, station, ideal));
  const units = world.units.map((unitWorld) => unitWorld.runTruth(endMs));
  const truth = { seed, startMs, endMs, units };
  return {
    cohort,
    seed,
    units: outcome(truth, watched, judgings, everyMs),
    ...(ideal === null ? {} : { ideal: ideal.end(truth) }),
  };
}

function sinkOf(watched: readonly Watched[], station: boolean, ideal: IdealCase | null): RunSink {
  const judgesOf = new Map(watched.map(({ unitWorld, judges }) => [unitWorld.unit.id, judges]));
  // A case has one site.
  const track = new WeatherTrack();
  const of = (unit: string): readonly Judge[] => judgesOf.get(unit) ?? [];
  return {
    reading: ({ unit, atMs, channels }) => {
      const report = weatherFor(track, atMs);
      for (const judge of of(unit)) judge.reading(atMs, channels, report);
      ideal?.reading(unit, atMs, channels);
    },
    weather: ({ site, atMs, channels }) => {
      if (!station) return;
      const report = { site, unit: WEATHER_UNIT, atMs, channels };
      addWeather(track, report);
      for (const { judges } of watched) for (const judge of judges) judge.weather(report);
    },
    service: ({ unit, atMs, line }) => {
      // Records carry whole milliseconds, as on the line.
      const event = {
        atMs: Math.round(atMs),
        action: line.action,
        phases: phasesOf(line['phases']),
      };
      for (const judge of of(unit)) judge.service(event);
    },
  };
}

function outcome(
  truth: RunTruth,
  watched: readonly Watched[],
  judgings: readonly Judging[],
  everyMs: number,
): Record<string, readonly ObservedUnit[]> {
  const byName: Record<string, readonly ObservedUnit[]> = {};
  for (const [index, { name }] of judgings.entries()) {
    const findings = watched.map(({ unitWorld, judges }) => {
      const judged = judges[index]?.end(truth.endMs) ?? { alarms: [], episodes: [] };
      const { site, id } = unitWorld.unit;
      return { site, unit: id, ...judged, observedMs: null, everyMs };
    });
    byName[name] = observedUnits(truth, findings);
  }
  return byName;
}
