import { rfc3339 } from '@lineside/alarms';

const RFC3339 =
  /^(\d{4})-(\d{2})-(\d{2})[Tt ](\d{2}):(\d{2}):(\d{2})(?:\.(\d+))?([Zz]|[+-]\d{2}:\d{2})$/;

const MS_PER_MINUTE = 60_000;

/**
 * Milliseconds since 1970 of an RFC 3339 date-time; `null` when it is none. Fractions finer than a
 * millisecond are cut off; a leap second reads as the second after it.
 */
export function parseRfc3339(text: string): number | null {
  const match = RFC3339.exec(text);
  if (match === null) return null;
  const [year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0] = match
    .slice(1, 7)
    .map(Number);
  if (hour > 23 || minute > 59 || second > 60) return null;
  const date = new Date(0);
  date.setUTCFullYear(year, month - 1, day);
  if (date.getUTCMonth() !== month - 1 || date.getUTCDate() !== day) return null;
  const offset = offsetMs(match[8] ?? 'Z');
  if (offset === null) return null;
  const ms = Number((match[7] ?? '').slice(0, 3).padEnd(3, '0'));
  return date.getTime() + ((hour * 60 + minute) * 60 + second) * 1000 + ms - offset;
}

function offsetMs(zone: string): number | null {
  if (zone === 'Z' || zone === 'z') return 0;
  const hours = Number(zone.slice(1, 3));
  const minutes = Number(zone.slice(4, 6));
  if (hours > 23 || minutes > 59) return null;
  return (zone.startsWith('-') ? -1 : 1) * (hours * 60 + minutes) * MS_PER_MINUTE;
}

/** `rfc3339` that leaves null alone. */
export function rfc3339OrNull(atMs: number | null): string | null {
  return atMs === null ? null : rfc3339(atMs);
}
