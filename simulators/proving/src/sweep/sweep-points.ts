import { ewmaScore } from '../rivals/ewma-chart.ts';
import type { ScoreRule } from '../rivals/level-rule.ts';
import { RIVAL_NAMES, type RivalName } from '../rivals/rival.ts';
import { robustScores } from '../rivals/robust-score.ts';
import type { TunedRivals } from '../tuning/tuned-file.ts';

/** One setting of one rival for leakage; all else is as it was tuned. */
export interface SweepPoint {
  readonly rival: RivalName;
  readonly routine: number;
  readonly urgent: number;
  readonly holdMinutes: number;
}

/** The main setting: from which mA, or how many spreads, a leakage is urgent. */
const URGENT_FROM: Readonly<Record<RivalName, readonly number[]>> = {
  'fixed-limits': [2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 30],
  'ewma-chart': [3, 5, 7, 10, 14, 20, 28, 40, 60, 90, 140],
  'robust-score': [4, 6, 10, 15, 22, 32, 45, 65, 100, 150, 250],
};

/** The rivals with their setting swept; the routine step keeps its tuned ratio to the urgent one. */
export function sweepPoints(tuned: TunedRivals): readonly SweepPoint[] {
  return RIVAL_NAMES.flatMap((rival) => {
    const { routine, urgent, holdMinutes } = tuned[rival].signals.leakage;
    return URGENT_FROM[rival].map((from) => ({
      rival,
      routine: (from * routine) / urgent,
      urgent: from,
      holdMinutes,
    }));
  });
}

/** How far out a rival finds a leakage, in the unit of its setting. */
export function scoreRuleOf(rival: RivalName, tuned: TunedRivals): ScoreRule {
  const context = { signal: 'leakage', emergencyLimit: Infinity } as const;
  switch (rival) {
    case 'fixed-limits':
      return { score: (_atMs, _state, value) => value };
    case 'ewma-chart':
      return ewmaScore(tuned['ewma-chart'].signals.leakage, context);
    case 'robust-score':
      return robustScores(tuned['robust-score'].signals.leakage, context);
  }
}
