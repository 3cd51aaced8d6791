/** Times in words: always the site's zone, never the zone of the screen. */

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const DAY_MS = 24 * HOUR_MS;

export interface LocalParts {
  readonly year: number;
  /** 1 to 12. */
  readonly month: number;
  readonly day: number;
  readonly hour: number;
  readonly minute: number;
}

/** The zone of the clock of whoever looks. */
export const OWN_ZONE: string = Intl.DateTimeFormat().resolvedOptions().timeZone;

const formatters = new Map<string, Intl.DateTimeFormat>();

/** Building a formatter takes longer than using it a thousand times, so they are kept. */
function formatter(zone: string, options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
  const key = `${zone} ${JSON.stringify(options)}`;
  const kept = formatters.get(key);
  if (kept !== undefined) return kept;
  const made = new Intl.DateTimeFormat('en-US', { ...options, timeZone: zone });
  formatters.set(key, made);
  return made;
}

/** The calendar and clock of `zone` at an instant (epoch ms). */
export function localParts(atMs: number, zone: string): LocalParts {
  const parts = formatter(zone, {
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
    hourCycle: 'h23',
  }).formatToParts(atMs);
  const number = (type: string): number =>
    Number(parts.find((part) => part.type === type)?.value ?? Number.NaN);
  return {
    year: number('year'),
    month: number('month'),
    day: number('day'),
    hour: number('hour'),
    minute: number('minute'),
  };
}

const two = (value: number): string => String(value).padStart(2, '0');

const MONTHS = 'Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec'.split(' ');

/** `03:10`, 24 hours. */
export function clockTime(atMs: number, zone: string): string {
  const { hour, minute } = localParts(atMs, zone);
  return `${two(hour)}:${two(minute)}`;
}

/** `14 Jan`, with the year when it is not the year of `nowMs`. */
export function dayOf(atMs: number, zone: string, nowMs: number): string {
  const at = localParts(atMs, zone);
  const day = `${at.day} ${MONTHS[at.month - 1] ?? ''}`;
  return at.year === localParts(nowMs, zone).year ? day : `${day} ${at.year}`;
}

/** `Mon`. */
function weekdayOf(atMs: number, zone: string): string {
  return formatter(zone, { weekday: 'short' }).format(atMs);
}

/** `Mon 14 Jan 08:00`: for plans, where the day of the week says most. */
export function weekdayAndTime(atMs: number, zone: string, nowMs: number): string {
  return `${weekdayOf(atMs, zone)} ${dayOf(atMs, zone, nowMs)} ${clockTime(atMs, zone)}`;
}

/** `today 03:10`, `14 Jan 03:10` or `14 Jan 2025 03:10`. */
export function dayAndTime(atMs: number, zone: string, nowMs: number): string {
  const day = dayOf(atMs, zone, nowMs);
  const said = day === dayOf(nowMs, zone, nowMs) ? 'today' : day;
  return `${said} ${clockTime(atMs, zone)}`;
}

/** The zone's short name at that instant, `AST` or `GMT+1`. */
export function zoneName(atMs: number, zone: string): string {
  const parts = formatter(zone, { timeZoneName: 'short' }).formatToParts(atMs);
  return parts.find((part) => part.type === 'timeZoneName')?.value ?? zone;
}

/** A length of time in the one unit that matters: `40 s`, `12 min`, `5 h`, `3 days`. */
export function duration(lengthMs: number): string {
  const length = Math.abs(lengthMs);
  if (length < MINUTE_MS) return `${Math.floor(length / 1000)} s`;
  if (length < 100 * MINUTE_MS) return `${Math.floor(length / MINUTE_MS)} min`;
  if (length < 48 * HOUR_MS) return `${Math.floor(length / HOUR_MS)} h`;
  return `${Math.floor(length / DAY_MS)} days`;
}

/** `12 min ago`, `in 5 h`, or `just now` within half a minute. */
export function relativeTime(atMs: number, nowMs: number): string {
  const ago = nowMs - atMs;
  if (Math.abs(ago) < 30_000) return 'just now';
  return ago > 0 ? `${duration(ago)} ago` : `in ${duration(ago)}`;
}

/**
 * The instant of a wall-clock time in a zone, from `YYYY-MM-DDThh:mm` as date fields give it.
 * A time that the zone skips in spring is read with the offset before the jump; one that occurs
 * twice in autumn is the first. Null when the text is no such time.
 */
export function instantOfLocal(local: string, zone: string): number | null {
  if (!/^\d{4}-\d\d-\d\dT\d\d:\d\d/.test(local)) return null;
  const asUtcMs = Date.parse(`${local.slice(0, 16)}Z`);
  if (Number.isNaN(asUtcMs)) return null;
  const before = asUtcMs - offsetMs(asUtcMs - DAY_MS, zone);
  const after = asUtcMs - offsetMs(asUtcMs + DAY_MS, zone);
  const fits = [before, after].filter((atMs) => atMs + offsetMs(atMs, zone) === asUtcMs);
  return fits.length === 0 ? before : Math.min(...fits);
}

/** `YYYY-MM-DDThh:mm` of an instant in a zone, for a date field. */
export function localFieldValue(atMs: number, zone: string): string {
  const at = localParts(atMs, zone);
  return `${at.year}-${two(at.month)}-${two(at.day)}T${two(at.hour)}:${two(at.minute)}`;
}

function offsetMs(atMs: number, zone: string): number {
  const minuteMs = Math.floor(atMs / MINUTE_MS) * MINUTE_MS;
  const at = localParts(minuteMs, zone);
  return Date.UTC(at.year, at.month - 1, at.day, at.hour, at.minute) - minuteMs;
}
