import { type FieldGuard, hasShape, isListOf, isNumber, isNumberOrNull } from '../field-guards.ts';
import { type CurvePoint, leakageAt } from './humidity-curve.ts';

/** Humidities that a repair is compared at, %RH; from the dry day to the wet one. */
const COMPARED_PERCENT = [50, 70, 85, 95] as const;
/** A film this much drier still stands for a compared humidity. */
const NEAR_PERCENT = 2.5;

/** Summary of a response that a repair has ended. */
export interface BeforeRepair {
  readonly atMs: number;
  /** At `COMPARED_PERCENT`, mA. */
  readonly milliamps: readonly (number | null)[];
  /** Growth of dry and of wet days before, mA a week. */
  readonly dryGrowth: number | null;
  readonly wetGrowth: number | null;
  /** The wettest film since the repair, %RH. */
  readonly wettestSincePercent: number;
}

export const isBeforeRepair: FieldGuard = hasShape<BeforeRepair>({
  atMs: isNumber,
  milliamps: isListOf(isNumberOrNull, COMPARED_PERCENT.length),
  dryGrowth: isNumberOrNull,
  wetGrowth: isNumberOrNull,
  wettestSincePercent: isNumber,
});

/** Leakage at one humidity, as it was before a repair and as it is since. */
export interface MatchedLeakage {
  readonly humidityPercent: number;
  readonly beforeMilliamps: number;
  readonly afterMilliamps: number;
}

export function comparedMilliamps(points: readonly CurvePoint[]): readonly (number | null)[] {
  return COMPARED_PERCENT.map((percent) => leakageAt(points, percent)?.milliamps ?? null);
}

export function dryBefore({ milliamps }: BeforeRepair): number | null {
  return milliamps[0] ?? null;
}

export function wetBefore({ milliamps }: BeforeRepair): number | null {
  return milliamps.at(-1) ?? null;
}

/** At the most humid film that both sides know; after the repair it must have been seen. */
export function matchedLeakage(
  { milliamps }: BeforeRepair,
  points: readonly CurvePoint[],
): MatchedLeakage | null {
  const seenTo = (points.at(-1)?.humidityPercent ?? 0) + NEAR_PERCENT;
  for (let index = COMPARED_PERCENT.length - 1; index >= 0; index--) {
    const humidityPercent = COMPARED_PERCENT[index] ?? 0;
    const beforeMilliamps = milliamps[index] ?? null;
    if (beforeMilliamps === null || humidityPercent > seenTo) continue;
    const after = leakageAt(points, humidityPercent);
    if (after === null || after.extrapolated) continue;
    return { humidityPercent, beforeMilliamps, afterMilliamps: after.milliamps };
  }
  return null;
}
