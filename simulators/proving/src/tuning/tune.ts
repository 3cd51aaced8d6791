import { COHORTS, caseOf } from '../cohorts/cohorts.ts';
import { TUNING } from '../cohorts/tuning-table.ts';
import {
  RIVAL_NAMES,
  type RivalName,
  type RivalParameters,
  type RivalSettings,
} from '../rivals/rival.ts';
import { SIGNALS, type Signal } from '../rivals/signals.ts';
import type { NamedRival } from '../running/batch.ts';
import { HOUSE } from '../running/judgings.ts';
import type { CaseOutcome } from '../running/run-case.ts';
import { runCases } from '../running/run-cases.ts';
import type { ObservedUnit } from '../scoring/observed-unit.ts';
import { GRID } from './grid.ts';
import { bestPoint, type Merit, meritOf } from './objective.ts';
import type { TunedRivals } from './tuned-file.ts';

export interface TuneOptions {
  /** Cases of each cohort. */
  readonly cases: number;
  readonly weeks: number;
}

/** What `tune` found, as it stands in the file. */
export interface Tuned {
  readonly how: string;
  readonly objective: string;
  readonly ours: Readonly<Record<Signal, Merit>>;
  readonly merits: Readonly<Record<RivalName, Readonly<Record<Signal, Merit>>>>;
  readonly chosen: TunedRivals;
}

const OBJECTIVE =
  'for each signal: highest mean recall (routine, urgent) among the points whose false alarms of ' +
  'that kind in a unit-year are no more than ours, or 0.5; else the quietest point';

/**
 * Tries every point of the grid of every rival on the tuning cohorts and picks the best for each
 * signal. Signals do not touch each other, so points of different signals are tried in one run.
 */
export async function tune(
  options: TuneOptions,
  progress: (done: number, of: number) => void,
): Promise<Tuned> {
  const { cases, weeks } = options;
  const plans = COHORTS.flatMap((cohort) =>
    Array.from({ length: cases }, (_, index) => caseOf(TUNING, cohort, index, { weeks, block: 0 })),
  );
  const outcomes = await runCases(plans, everyPoint(), progress);
  const ours = bySignal((signal) => meritOf(signal, unitsOf(outcomes, HOUSE)));
  const limits = pick('fixed-limits', outcomes, ours);
  const ewma = pick('ewma-chart', outcomes, ours);
  const robust = pick('robust-score', outcomes, ours);
  return {
    how: `npm run bench -- tune --cases ${cases} --weeks ${weeks}`,
    objective: OBJECTIVE,
    ours,
    merits: {
      'fixed-limits': limits.merits,
      'ewma-chart': ewma.merits,
      'robust-score': robust.merits,
    },
    chosen: {
      'fixed-limits': { rival: 'fixed-limits', signals: limits.signals },
      'ewma-chart': { rival: 'ewma-chart', signals: ewma.signals },
      'robust-score': { rival: 'robust-score', signals: robust.signals },
    },
  };
}

function everyPoint(): NamedRival[] {
  return RIVAL_NAMES.flatMap((rival) => {
    const most = Math.max(...SIGNALS.map((signal) => GRID[rival][signal].length));
    return Array.from({ length: most }, (_, index) => ({
      name: nameOf(rival, index),
      settings: settingsAt(rival, index),
    }));
  });
}

function nameOf(rival: RivalName, index: number): string {
  return `${rival} ${index}`;
}

/** The point of each signal with this index; a signal with fewer points repeats its last. */
function settingsAt(rival: RivalName, index: number): RivalSettings {
  const signals = bySignal((signal) => {
    const points = GRID[rival][signal];
    return points[Math.min(index, points.length - 1)];
  });
  return { rival, signals } as RivalSettings;
}

function pick<Name extends RivalName>(
  rival: Name,
  outcomes: readonly CaseOutcome[],
  ours: Readonly<Record<Signal, Merit>>,
): {
  readonly signals: Record<Signal, RivalParameters[Name]>;
  readonly merits: Record<Signal, Merit>;
} {
  const best = bySignal((signal) => {
    const points: readonly RivalParameters[Name][] = GRID[rival][signal];
    const tried = points.map((point, index) => ({
      point,
      merit: meritOf(signal, unitsOf(outcomes, nameOf(rival, index))),
    }));
    return bestPoint(tried, ours[signal].falsePerUnitYear);
  });
  return {
    signals: bySignal((signal) => best[signal].point),
    merits: bySignal((signal) => best[signal].merit),
  };
}

function unitsOf(outcomes: readonly CaseOutcome[], name: string): readonly ObservedUnit[] {
  return outcomes.flatMap(({ units }) => units[name] ?? []);
}

function bySignal<Value>(value: (signal: Signal) => Value): Record<Signal, Value> {
  const [leakage, moisture, unbalance] = SIGNALS;
  return { leakage: value(leakage), moisture: value(moisture), unbalance: value(unbalance) };
}
