import { Temporal } from 'temporal-polyfill';

/**
 * Local dates and times, and what they are in a zone. The zones are the library's; nothing here
 * knows an offset.
 *
 * A local time is turned into an instant by the rule of RFC 5545, 3.3.5, which is Temporal's
 * `compatible`: one that occurs twice is its first occurrence; one that does not occur is read with
 * the offset before the gap, so it comes as much later by the clock as the clock jumped.
 */

export const WEEKDAYS = [
  'monday',
  'tuesday',
  'wednesday',
  'thursday',
  'friday',
  'saturday',
  'sunday',
] as const;
export type Weekday = (typeof WEEKDAYS)[number];

/** `2026-03-29`. */
const DATE_PATTERN: RegExp = /^\d{4}-\d{2}-\d{2}$/;
/** `08:00`, `00:00` to `23:59`. */
export const TIME_PATTERN: RegExp = /^(?:[01]\d|2[0-3]):[0-5]\d$/;
/** `2026-03-29T08:00`. */
export const DATE_TIME_PATTERN: RegExp = /^\d{4}-\d{2}-\d{2}T(?:[01]\d|2[0-3]):[0-5]\d$/;

export const MINUTE_MS = 60_000;
export const DAY_MS = 86_400_000;

/** What calendar and clock on the wall show. */
export interface LocalTime {
  /** `2026-03-29`. */
  readonly date: string;
  readonly weekday: Weekday;
  /** By the clock on the wall: 90 at 01:30, also when 01:30 comes for the second time. */
  readonly minuteOfDay: number;
}

/** True for a date that the calendar has, such as 2028-02-29. */
export function isDate(text: string): boolean {
  if (!DATE_PATTERN.test(text)) return false;
  try {
    Temporal.PlainDate.from(text);
    return true;
  } catch {
    return false;
  }
}

/** True for a zone of the IANA data base; an offset such as `+02:00` is none. */
export function isZone(zone: string): boolean {
  if (!/^[A-Za-z]/.test(zone)) return false;
  try {
    Temporal.Instant.fromEpochMilliseconds(0).toZonedDateTimeISO(zone);
    return true;
  } catch {
    return false;
  }
}

/**
 * The instant of a local date and time, by the rule above.
 *
 * @param date `2026-03-29`.
 * @param time `02:30`.
 * @throws RangeError for a date, time or zone that there is none of.
 */
export function instantMs(date: string, time: string, zone: string): number {
  const local = Temporal.PlainDateTime.from(`${date}T${time}`);
  return local.toZonedDateTime(zone, { disambiguation: 'compatible' }).epochMilliseconds;
}

/** What the wall shows in a zone at an instant. */
export function localTimeAt(atMs: number, zone: string): LocalTime {
  const local = Temporal.Instant.fromEpochMilliseconds(atMs).toZonedDateTimeISO(zone);
  return {
    date: local.toPlainDate().toString(),
    weekday: weekdayByNumber(local.dayOfWeek),
    minuteOfDay: local.hour * 60 + local.minute,
  };
}

/** `2026-03-29 03:30+02:00`, for a message. */
export function localWords(atMs: number, zone: string): string {
  return Temporal.Instant.fromEpochMilliseconds(atMs)
    .toZonedDateTimeISO(zone)
    .toString({ smallestUnit: 'minute', timeZoneName: 'never' })
    .replace('T', ' ');
}

export function weekdayOf(date: string): Weekday {
  return weekdayByNumber(Temporal.PlainDate.from(date).dayOfWeek);
}

export function plusDays(date: string, days: number): string {
  return Temporal.PlainDate.from(date).add({ days }).toString();
}

/** Days from one date to another, negative when `to` is the earlier one. */
export function daysBetween(from: string, to: string): number {
  return Temporal.PlainDate.from(from).until(to, { largestUnit: 'days' }).days;
}

/** Minutes from midnight that a time such as `08:30` is by the clock. */
export function minuteOfDay(time: string): number {
  return Number(time.slice(0, 2)) * 60 + Number(time.slice(3, 5));
}

/** @param dayOfWeek 1 is Monday, 7 is Sunday, as ISO 8601 counts. */
function weekdayByNumber(dayOfWeek: number): Weekday {
  const weekday = WEEKDAYS[dayOfWeek - 1];
  if (weekday === undefined) throw new RangeError(`${dayOfWeek} is no day of a week`);
  return weekday;
}
