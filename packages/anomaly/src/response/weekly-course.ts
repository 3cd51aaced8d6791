import { type FieldGuard, isNumberOrNull } from '../field-guards.ts';

/** Week, dry- and wet-day leakage at its end (mA), wettest film (%RH). */
export type WeekSeen = readonly [
  week: number,
  dry: number | null,
  wet: number | null,
  wettest: number,
];

export const WEEK_MS: number = 7 * 86_400_000;
/** A quarter of a year: older weeks say little of the growth of now. */
export const MOST_WEEKS = 12;
/** Dry-weather and wet-day leakage are what the response gives here, %RH. */
export const DRY_DAY_PERCENT = 50;
export const WET_DAY_PERCENT = 95;
/** A repair, or a week, is tested by weather once a film as humid as this was seen, %RH. */
export const TESTING_PERCENT = 85;

export const isWeek: FieldGuard = (value) =>
  Array.isArray(value) && value.length === 4 && value.every(isNumberOrNull);
