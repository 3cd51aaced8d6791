import type { CasePlan } from '../cohorts/case-plan.ts';
import { COHORTS, caseOf } from '../cohorts/cohorts.ts';
import { TUNING } from '../cohorts/tuning-table.ts';
import { HOUSE, houseJudging } from '../running/judgings.ts';
import { runCase } from '../running/run-case.ts';
import { FAULT_CLASSES } from '../scoring/fault-classes.ts';
import { type Score, scoreUnits } from '../scoring/score.ts';

/** Figures of the fixed set. Of `atLeast` more is better, of `atMost` less. */
export interface FixedSetFigures {
  readonly atLeast: Readonly<Record<string, number>>;
  readonly atMost: Readonly<Record<string, number>>;
}

/** Where the recorded figures stand; the same from the build. */
export const RECORDED_FILE: URL = new URL('../../tuned/regression.json', import.meta.url);

/** A block of seeds that nothing is tuned on: tuning uses block 0. */
const BLOCK = 1;
/** Long enough to learn a unit and see it fail, short enough for each check. */
const WEEKS = 4;
const CASES_OF_COHORT: Readonly<Record<string, number>> = {
  'track, windy harbour': 1,
  'track, humid coast': 1,
  'track, rainy valley': 2,
  'pole to pole': 1,
  'load insulation': 1,
  'water ingress': 1,
  'phase loss': 1,
  'fuses gone': 1,
  unbalance: 1,
  'sensor faults': 1,
  healthy: 1,
  'healthy, residual-load-error': 1,
  'healthy, damp-heater': 1,
};

/** The cases that every check runs. */
export function fixedSet(): readonly CasePlan[] {
  return COHORTS.flatMap((cohort) =>
    Array.from({ length: CASES_OF_COHORT[cohort.name] ?? 0 }, (_, index) =>
      caseOf(TUNING, cohort, index, { weeks: WEEKS, block: BLOCK }),
    ),
  );
}

/** Runs the fixed set, judged by us. */
export function judgeFixedSet(): FixedSetFigures {
  const units = fixedSet().flatMap((plan) => runCase(plan, [houseJudging()]).units[HOUSE] ?? []);
  return figuresOf(scoreUnits(units));
}

/** The figures that must not get worse. */
export function figuresOf(score: Score): FixedSetFigures {
  const atLeast: Record<string, number> = {};
  for (const name of FAULT_CLASSES) {
    const { judged, recallBeforeFailure, recallWhileThere, causeRight } = score.classes[name];
    if (judged === 0) continue;
    for (const priority of ['routine', 'urgent'] as const) {
      const warned = recallBeforeFailure[priority].hits + recallWhileThere[priority].hits;
      atLeast[`${name}: warned in time at ${priority}`] = warned;
    }
    atLeast[`${name}: cause right at urgent`] = causeRight.urgent.hits;
  }
  atLeast['phase loss told within a day'] = score.phaseLoss.found.hits;
  atLeast['fuses gone told within a day'] = score.fusesGone.found.hits;
  atLeast['wettings found'] = score.episodes.found.hits;
  atLeast['wettings with the right source'] = score.episodes.sourceRight.hits;
  return {
    atLeast,
    atMost: {
      'false routine alarms': score.falseAlarms.count.routine,
      'false urgent alarms': score.falseAlarms.count.urgent,
      'false emergency alarms': score.falseAlarms.count.emergency,
      'false wettings': score.episodes.falseEpisodes,
      'raises and reopenings': score.chatter.alarms + score.chatter.reopens,
    },
  };
}

/** What has got worse, one sentence each, with what to do; empty when nothing has. */
export function whatGotWorse(now: FixedSetFigures, recorded: FixedSetFigures): string[] {
  const fewer = Object.entries(recorded.atLeast)
    .filter(([name, least]) => (now.atLeast[name] ?? 0) < least)
    .map(([name, least]) => `${name}: ${now.atLeast[name] ?? 0}, it was ${least}`);
  const more = Object.entries(now.atMost)
    .filter(([name, count]) => count > (recorded.atMost[name] ?? 0))
    .map(([name, count]) => `${name}: ${count}, it was ${recorded.atMost[name] ?? 0}`);
  const worse = [...fewer, ...more];
  if (worse.length === 0) return [];
  return [
    ...worse,
    "when this is meant, record it anew: 'npm run bench -- record-warning', and say why",
  ];
}
