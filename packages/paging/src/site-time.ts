/**
 * A time as the site's clocks show it: `04:12 AST`, with the day when it is another one than that
 * of `nowMs`, `Fri, Jan 9, 04:12 AST`, and the year when that is another one.
 *
 * @param zone IANA time zone.
 * @throws RangeError for a zone that nobody knows.
 */
export function siteTime(atMs: number, nowMs: number, zone: string): string {
  const time = formatted(atMs, zone, { ...CLOCK, timeZoneName: 'short' });
  const day = formatted(atMs, zone, DAY);
  if (day === formatted(nowMs, zone, DAY)) return time;
  const isThisYear = formatted(atMs, zone, YEAR) === formatted(nowMs, zone, YEAR);
  return isThisYear ? `${formatted(atMs, zone, WEEKDAY)}, ${time}` : `${day}, ${time}`;
}

/** The time of day as the site's clocks show it: `04:12`. */
export function clockTime(atMs: number, zone: string): string {
  return formatted(atMs, zone, CLOCK);
}

const CLOCK = { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' } as const;
const YEAR = { year: 'numeric' } as const;
const DAY = { ...YEAR, month: 'short', day: 'numeric' } as const;
const WEEKDAY = { weekday: 'short', month: 'short', day: 'numeric' } as const;

/** Making one takes longer than using it a hundred times; there are some 600 zones at most. */
const FORMATS = new Map<string, Formatted>();

/** Texts kept of each format: the pages of a storm name the same times to each person. */
const TEXTS_MOST = 1_000;

interface Formatted {
  readonly format: Intl.DateTimeFormat;
  readonly texts: Map<number, string>;
}

function formatted(atMs: number, timeZone: string, parts: Intl.DateTimeFormatOptions): string {
  const { format, texts } = formatOf(timeZone, parts);
  const known = texts.get(atMs);
  if (known !== undefined) return known;
  const text = format.format(atMs);
  if (texts.size >= TEXTS_MOST) texts.clear();
  texts.set(atMs, text);
  return text;
}

function formatOf(timeZone: string, parts: Intl.DateTimeFormatOptions): Formatted {
  const name = `${timeZone} ${Object.keys(parts).join(' ')}`;
  const known = FORMATS.get(name);
  if (known !== undefined) return known;
  const made = {
    format: new Intl.DateTimeFormat('en-US', { ...parts, timeZone }),
    texts: new Map(),
  };
  FORMATS.set(name, made);
  return made;
}
