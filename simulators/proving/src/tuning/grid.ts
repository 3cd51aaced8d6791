import type { EwmaParameters } from '../rivals/ewma-chart.ts';
import type { FixedParameters } from '../rivals/fixed-limits.ts';
import type { RivalName, RivalParameters } from '../rivals/rival.ts';
import type { RobustParameters } from '../rivals/robust-score.ts';
import { SIGNALS, type Signal } from '../rivals/signals.ts';

/** What is tried for a rival's signal. Urgent steps stand in a ratio to the routine ones. */
export type Grid = Readonly<{
  [Name in RivalName]: Readonly<Record<Signal, readonly RivalParameters[Name][]>>;
}>;

const HOLD_MINUTES: readonly number[] = [10, 120];

const FIXED_ROUTINE: Readonly<Record<Signal, readonly number[]>> = {
  leakage: [2, 3, 4, 6, 10],
  moisture: [100, 200, 400, 800],
  unbalance: [3, 5, 8],
};
/** Urgent over routine; the usual limits of the trade have 2 to 3.3. */
const URGENT_RATIOS: readonly number[] = [1.5, 3];

function fixedPoints(signal: Signal): FixedParameters[] {
  return FIXED_ROUTINE[signal].flatMap((routine) => steps([routine]));
}

/** Ten-minute means hang together, so that three spreads, made for what does not, would cry daily. */
const EWMA_SPREADS: readonly number[] = [6, 15, 40, 100];
const ROBUST_SPREADS: readonly number[] = [4, 8, 20, 60];

function ewmaPoints(): EwmaParameters[] {
  const learningDays = 14;
  return [0.05, 0.2].flatMap((weight) =>
    steps(EWMA_SPREADS).map((point) => ({ ...point, weight, learningDays })),
  );
}

function robustPoints(): RobustParameters[] {
  return [7, 21].flatMap((windowDays) =>
    steps(ROBUST_SPREADS).map((point) => ({ ...point, windowDays })),
  );
}

function steps(routines: readonly number[]): FixedParameters[] {
  return routines.flatMap((routine) =>
    URGENT_RATIOS.flatMap((ratio) =>
      HOLD_MINUTES.map((holdMinutes) => ({ routine, urgent: ratio * routine, holdMinutes })),
    ),
  );
}

function bySignal<Point>(points: (signal: Signal) => Point[]): Record<Signal, Point[]> {
  const [leakage, moisture, unbalance] = SIGNALS;
  return {
    leakage: points(leakage),
    moisture: points(moisture),
    unbalance: points(unbalance),
  };
}

export const GRID: Grid = {
  'fixed-limits': bySignal(fixedPoints),
  'ewma-chart': bySignal(ewmaPoints),
  'robust-score': bySignal(robustPoints),
};
