import { type FieldGuards, isListOf, isNumber, isNumberOrNull } from '../field-guards.ts';

/** ISO 9223 wetness by UTC day: the newest day apart, the earlier ones of the last 30. */
export interface WetDays {
  readonly day: number | null;
  readonly dayWetMs: number;
  /** Minutes of the days before, the day before the newest first; dry days at the end are absent. */
  readonly earlierMinutes: readonly number[];
}

const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;
/** Days kept besides the newest. */
const WET_DAYS_KEPT = 29;

export const WET_DAYS_START: WetDays = { day: null, dayWetMs: 0, earlierMinutes: [] };

export const WET_DAYS_FIELDS: FieldGuards<WetDays> = {
  day: isNumberOrNull,
  dayWetMs: isNumber,
  earlierMinutes: isListOf(isNumber, WET_DAYS_KEPT),
};

/** Adds wet time to the day of `atMs`; days are in order. */
export function countWetDay(days: WetDays, atMs: number, wetMs: number): WetDays {
  const day = Math.floor(atMs / DAY_MS);
  if (days.day === day) {
    return wetMs === 0 ? days : { ...days, dayWetMs: days.dayWetMs + wetMs };
  }
  const passed = days.day === null ? Infinity : day - days.day;
  if (passed > WET_DAYS_KEPT) return { day, dayWetMs: wetMs, earlierMinutes: [] };
  const between = new Array<number>(passed - 1).fill(0);
  const newest = Math.round(days.dayWetMs / MINUTE_MS);
  const earlierMinutes = [...between, newest, ...days.earlierMinutes].slice(0, WET_DAYS_KEPT);
  while (earlierMinutes.at(-1) === 0) earlierMinutes.pop();
  return { day, dayWetMs: wetMs, earlierMinutes };
}

/** Wet time of the newest day and the 29 before it, ms, to the minute. */
export function wetMsOf30Days(days: WetDays): number {
  let minutes = 0;
  for (const each of days.earlierMinutes) minutes += each;
  return days.dayWetMs + minutes * MINUTE_MS;
}
