import {
  instantMs,
  type LocalTime,
  localTimeAt,
  minuteOfDay,
  plusDays,
  WEEKDAYS,
  type Weekday,
} from '../local-time.ts';
import type { QuietHours, QuietWindow } from './policy.ts';

/**
 * Days to look ahead for a digest: two weeks, since the clocks may change on the only day of one.
 */
const DIGEST_DAYS_AHEAD = 15;

/** True while the clock on the wall shows quiet hours. */
export function isQuiet(quiet: QuietHours, atMs: number, zone: string): boolean {
  return isQuietByClock(quiet, localTimeAt(atMs, zone));
}

/**
 * When the next digest goes out, at `atMs` or later: at `digestAt` on the first day on which that
 * lies outside the quiet hours.
 *
 * @throws RangeError when there is none; a policy from a rota file always has one.
 */
export function nextDigestMs(quiet: QuietHours, atMs: number, zone: string): number {
  const today = localTimeAt(atMs, zone).date;
  for (let days = 0; days <= DIGEST_DAYS_AHEAD; days++) {
    const digestMs = instantMs(plusDays(today, days), quiet.digestAt, zone);
    // Asked of the instant, since a digest in the hour that clocks leave out comes later by the
    // clock.
    if (digestMs >= atMs && !isQuiet(quiet, digestMs, zone)) return digestMs;
  }
  throw new RangeError(
    `the digest at ${quiet.digestAt} lies in the quiet hours every day; choose another time`,
  );
}

/** True when the digest lies outside the quiet hours on one day of the week at least. */
export function hasDigestOutside(quiet: QuietHours): boolean {
  const minute = minuteOfDay(quiet.digestAt);
  return WEEKDAYS.some((weekday) => !isQuietByClock(quiet, { weekday, minuteOfDay: minute }));
}

function isQuietByClock(
  quiet: QuietHours,
  local: Pick<LocalTime, 'weekday' | 'minuteOfDay'>,
): boolean {
  return quiet.windows.some((window) => holds(window, local.weekday, local.minuteOfDay));
}

function holds({ days, from, to }: QuietWindow, weekday: Weekday, minute: number): boolean {
  const fromMinute = minuteOfDay(from);
  const toMinute = minuteOfDay(to);
  if (fromMinute < toMinute)
    return days.includes(weekday) && fromMinute <= minute && minute < toMinute;
  const begunToday = days.includes(weekday) && minute >= fromMinute;
  return begunToday || (days.includes(dayBefore(weekday)) && minute < toMinute);
}

function dayBefore(weekday: Weekday): Weekday {
  const before = WEEKDAYS.at(WEEKDAYS.indexOf(weekday) - 1);
  if (before === undefined) throw new RangeError(`${weekday} is no day of a week`);
  return before;
}
