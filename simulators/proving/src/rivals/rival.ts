import type { Unit } from '@lineside/fleet';
import { type EwmaParameters, ewmaChart } from './ewma-chart.ts';
import { type FixedParameters, fixedLimits } from './fixed-limits.ts';
import type { LevelRule } from './level-rule.ts';
import { type RobustParameters, robustScore } from './robust-score.ts';
import type { Signal } from './signals.ts';

export const RIVAL_NAMES = ['fixed-limits', 'ewma-chart', 'robust-score'] as const;
export type RivalName = (typeof RIVAL_NAMES)[number];

export interface RivalParameters {
  readonly 'fixed-limits': FixedParameters;
  readonly 'ewma-chart': EwmaParameters;
  readonly 'robust-score': RobustParameters;
}

/** The parameters of one rival, signal by signal. */
export type RivalSettings<Name extends RivalName = RivalName> = {
  readonly [One in Name]: {
    readonly rival: One;
    readonly signals: Readonly<Record<Signal, RivalParameters[One]>>;
  };
}[Name];

/** The rule of a rival for one signal of one unit. */
export function ruleOf(settings: RivalSettings, signal: Signal, unit: Unit): LevelRule {
  const emergencyLimit = signal === 'leakage' ? unit.limits.leakageEmergencyMilliamps : Infinity;
  const context = { signal, emergencyLimit };
  switch (settings.rival) {
    case 'fixed-limits':
      return fixedLimits(settings.signals[signal], context);
    case 'ewma-chart':
      return ewmaChart(settings.signals[signal], context);
    case 'robust-score':
      return robustScore(settings.signals[signal], context);
  }
}
