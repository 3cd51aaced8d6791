import { quartiles } from '../scoring/quartiles.ts';
import type { LeakageFigures } from './leakage-figures.ts';

/** One setting of a judge: what it finds, and how often it cries wolf. */
export interface CurvePoint {
  readonly name: string;
  /** Urgent leakage alarms a healthy unit-year. */
  readonly falsePerUnitYear: number;
  /** Share of the tracks urgent 24 h before. */
  readonly share: number;
  readonly medianWarningDays: number;
}

/** @throws RangeError without a healthy unit-year or a track: there is nothing to compare. */
export function curvePoint(
  name: string,
  healthy: LeakageFigures,
  tracks: LeakageFigures,
): CurvePoint {
  if (!(healthy.unitYears > 0) || tracks.tracks === 0) {
    throw new RangeError(`${name}: no point without healthy unit-years and tracks`);
  }
  return {
    name,
    falsePerUnitYear: healthy.urgentFalse / healthy.unitYears,
    share: tracks.urgentInTime / tracks.tracks,
    medianWarningDays: quartiles(tracks.warningDays)?.median ?? 0,
  };
}

/**
 * What a rival reaches at our rate of false alarms, straight between its two settings around it;
 * where none is as quiet as we are, nothing: null. Of settings with one rate the best counts.
 */
export function atRate(curve: readonly CurvePoint[], perUnitYear: number): CurvePoint | null {
  const quiet = bestOf(curve.filter((point) => point.falsePerUnitYear <= perUnitYear));
  const loud = curve
    .filter((point) => point.falsePerUnitYear > perUnitYear)
    .toSorted((one, other) => one.falsePerUnitYear - other.falsePerUnitYear)[0];
  if (quiet === null || loud === undefined || loud.share <= quiet.share) return quiet;
  const span = loud.falsePerUnitYear - quiet.falsePerUnitYear;
  const part = (perUnitYear - quiet.falsePerUnitYear) / span;
  const between = (from: number, to: number): number => from + part * (to - from);
  return {
    name: `between ${quiet.name} and ${loud.name}`,
    falsePerUnitYear: perUnitYear,
    share: between(quiet.share, loud.share),
    medianWarningDays: between(quiet.medianWarningDays, loud.medianWarningDays),
  };
}

/** The one that finds most; at the same share the longer warning. */
export function bestOf(points: readonly (CurvePoint | null)[]): CurvePoint | null {
  let best: CurvePoint | null = null;
  for (const point of points) {
    if (point === null) continue;
    const more =
      best === null ||
      point.share > best.share ||
      (point.share === best.share && point.medianWarningDays > best.medianWarningDays);
    if (more) best = point;
  }
  return best;
}
