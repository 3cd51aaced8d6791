import type { Storm } from './storm.ts';

const QUARTER_MS = 900_000;
const ID = /^(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)Z-(.{1,200})$/;

/**
 * An id that names a storm's place may lie this far from it: late data can take away the touch that
 * it was named after.
 */
const NEAR_MS = 86_400_000;

/** A moment at a site. */
export interface StormAnchor {
  readonly atMs: number;
  readonly site: string;
}

/**
 * The id of a storm is where and when it first touched, to the quarter of an hour:
 * `20260110T0415Z-harbour-mall`. It is an address rather than a number: `stormOfAnchor` answers it
 * with the storm that covers that moment at that site. So when late data move the start or join two
 * storms, the id changes and every id that was handed out before still leads to the storm.
 */
export function stormId({ atMs, site }: StormAnchor): string {
  const quarter = new Date(Math.floor(atMs / QUARTER_MS) * QUARTER_MS).toISOString();
  return `${quarter.slice(0, 16).replaceAll(/[-:]/g, '')}Z-${site}`;
}

/** The moment and site of an id; null when it is none. */
export function parseStormId(id: string): StormAnchor | null {
  const match = ID.exec(id);
  if (match === null) return null;
  const [, year, month, day, hour, minute, site = ''] = match;
  const atMs = Date.UTC(Number(year), Number(month) - 1, Number(day), Number(hour), Number(minute));
  return stormId({ atMs, site }) === id ? { atMs, site } : null;
}

/**
 * The storm that an anchor leads to: in the region of its site the one that covers its moment, else
 * the nearest within a day; null when there is none.
 *
 * @param region id of the region that the anchor's site is in.
 */
export function stormOfAnchor(
  storms: readonly Storm[],
  region: string,
  { atMs }: StormAnchor,
): Storm | null {
  const near = storms
    .filter((storm) => storm.region === region)
    .map((storm) => ({ storm, awayMs: awayFrom(storm, atMs) }))
    .filter(({ awayMs }) => awayMs <= NEAR_MS)
    .sort((one, other) => one.awayMs - other.awayMs || other.storm.startMs - one.storm.startMs);
  return near[0]?.storm ?? null;
}

function awayFrom({ startMs, lastTouchMs }: Storm, atMs: number): number {
  // An id is rounded down to the quarter of its first touch.
  const fromMs = startMs - QUARTER_MS;
  if (atMs < fromMs) return fromMs - atMs;
  return Math.max(0, atMs - lastTouchMs);
}
