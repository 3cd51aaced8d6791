/** The last instant with a four-digit year, as RFC 3339 writes years: 9999-12-31T23:59:59.999Z. */
const LAST_MS: number = Date.UTC(9999, 11, 31, 23, 59, 59, 999);

const RFC3339 =
  /^(\d{4})-(\d{2})-(\d{2})[Tt](\d{2}):(\d{2}):(\d{2})(\.\d+)?(?:[Zz]|([+-])(\d{2}):(\d{2}))$/;

const MS_PER_MINUTE = 60_000;
const MS_PER_DAY = 86_400_000;
const LEAP_SECOND = 60;

/**
 * Milliseconds since 1970 of an RFC 3339 date-time, rounded to the millisecond; null when it is
 * none, names a day or minute that does not exist, or lies outside the years 1970 to 9999 in UTC.
 * A leap second, which is 23:59:60 in UTC, reads as the second after it.
 */
export function parseEventTime(text: string): number | null {
  const match = RFC3339.exec(text);
  if (match === null) return null;
  const [year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0] = match
    .slice(1, 7)
    .map(Number);
  const dayMs = utcDayMs(year, month, day);
  const offsetMs = offsetOf(match);
  if (dayMs === null || offsetMs === null) return null;
  if (hour > 23 || minute > 59 || second > LEAP_SECOND) return null;
  const minuteMs = dayMs + (hour * 60 + minute) * MS_PER_MINUTE - offsetMs;
  if (second === LEAP_SECOND && (minuteMs + MS_PER_MINUTE) % MS_PER_DAY !== 0) return null;
  const atMs = minuteMs + second * 1000 + Math.round(Number(match[7] ?? 0) * 1000);
  return atMs >= 0 && atMs <= LAST_MS ? atMs : null;
}

function offsetOf(match: RegExpExecArray): number | null {
  const hours = Number(match[9] ?? 0);
  const minutes = Number(match[10] ?? 0);
  if (hours > 23 || minutes > 59) return null;
  return (match[8] === '-' ? -1 : 1) * (hours * 60 + minutes) * MS_PER_MINUTE;
}

/** Start of a day in UTC, ms; null when the calendar has no such day. */
function utcDayMs(year: number, month: number, day: number): number | null {
  const date = new Date(0);
  date.setUTCFullYear(year, month - 1, day);
  const exists = date.getUTCMonth() === month - 1 && date.getUTCDate() === day;
  return exists ? date.getTime() : null;
}

const ZERO = 0x30;
const HYPHEN = 0x2d;
const COLON = 0x3a;
const POINT = 0x2e;
const CAPITAL_T = 0x54;
const CAPITAL_Z = 0x5a;
/** Lengths of 2026-01-10T04:00:00Z and 2026-01-10T04:00:00.250Z. */
const WHOLE_SECONDS_LENGTH = 20;
const MILLISECONDS_LENGTH = 24;

/** Reads the two usual spellings straight from bytes. Lines of one day share its start. */
export class EventTimeBytes {
  #day = -1;
  #dayMs = 0;

  /** What `parseEventTime` says of these bytes, or null where only that can tell. */
  read(bytes: Uint8Array, start: number, end: number): number | null {
    const length = end - start;
    if (length !== WHOLE_SECONDS_LENGTH && length !== MILLISECONDS_LENGTH) return null;
    if (!hasMarks(bytes, start) || bytes[end - 1] !== CAPITAL_Z) return null;
    const year = pair(bytes, start) * 100 + pair(bytes, start + 2);
    const month = pair(bytes, start + 5);
    const day = pair(bytes, start + 8);
    const hour = pair(bytes, start + 11);
    const minute = pair(bytes, start + 14);
    const second = pair(bytes, start + 17);
    const ms = length === WHOLE_SECONDS_LENGTH ? 0 : milliseconds(bytes, start + 19);
    // A pair that is not two digits is NaN, and no comparison holds for NaN.
    if (!(year >= 1970 && hour <= 23 && minute <= 59 && second <= 59 && ms >= 0)) return null;
    const key = (year * 100 + month) * 100 + day;
    if (key !== this.#day) {
      const dayMs = utcDayMs(year, month, day);
      if (dayMs === null || Number.isNaN(key)) return null;
      this.#day = key;
      this.#dayMs = dayMs;
    }
    return this.#dayMs + ((hour * 60 + minute) * 60 + second) * 1000 + ms;
  }
}

function hasMarks(bytes: Uint8Array, start: number): boolean {
  return (
    bytes[start + 4] === HYPHEN &&
    bytes[start + 7] === HYPHEN &&
    bytes[start + 10] === CAPITAL_T &&
    bytes[start + 13] === COLON &&
    bytes[start + 16] === COLON
  );
}

function digit(bytes: Uint8Array, at: number): number {
  const value = (bytes[at] ?? 0) - ZERO;
  return value >= 0 && value <= 9 ? value : Number.NaN;
}

function pair(bytes: Uint8Array, at: number): number {
  return digit(bytes, at) * 10 + digit(bytes, at + 1);
}

function milliseconds(bytes: Uint8Array, at: number): number {
  if (bytes[at] !== POINT) return Number.NaN;
  return digit(bytes, at + 1) * 100 + pair(bytes, at + 2);
}
