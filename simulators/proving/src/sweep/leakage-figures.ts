import { isExplained } from '../scoring/explained.ts';
import { type ObservedUnit, YEAR_MS } from '../scoring/observed-unit.ts';
import { trackWarnings } from '../scoring/track-score.ts';
import { isAtLeast } from '../scoring/warnings.ts';

/** What a judge's leakage alarms alone are worth on some units. Sums, so that cases add up. */
export interface LeakageFigures {
  readonly unitYears: number;
  /** Leakage alarms that reached urgent and that nothing explains. */
  readonly urgentFalse: number;
  readonly tracks: number;
  readonly urgentInTime: number;
  /** First leakage alarm of any priority to failure, days; 0 for none. */
  readonly warningDays: readonly number[];
}

export function leakageFigures(units: readonly ObservedUnit[]): LeakageFigures {
  const own = units.map((unit) => ({
    ...unit,
    alarms: unit.alarms.filter(({ kind }) => kind === 'leakage'),
  }));
  const warnings = trackWarnings(own);
  const urgentFalse = own.reduce((sum, { alarms, truth }) => {
    const urgent = alarms.filter(({ priority }) => isAtLeast(priority, 'urgent'));
    return sum + urgent.filter((alarm) => !isExplained(alarm, truth)).length;
  }, 0);
  return {
    unitYears: own.reduce((sum, { observedMs }) => sum + observedMs, 0) / YEAR_MS,
    urgentFalse,
    tracks: warnings.length,
    urgentInTime: warnings.filter((one) => one.urgentInTime).length,
    warningDays: warnings.map((one) => one.days),
  };
}

export function summed(figures: readonly LeakageFigures[]): LeakageFigures {
  const sum = (of: (one: LeakageFigures) => number): number =>
    figures.reduce((total, one) => total + of(one), 0);
  return {
    unitYears: sum((one) => one.unitYears),
    urgentFalse: sum((one) => one.urgentFalse),
    tracks: sum((one) => one.tracks),
    urgentInTime: sum((one) => one.urgentInTime),
    warningDays: figures.flatMap((one) => one.warningDays),
  };
}
