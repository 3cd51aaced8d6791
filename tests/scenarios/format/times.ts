/** Times as a case writes them: since its start, `6h20`, `7d3h`, `45m`. */
import { CaseError, type Place } from './case-error.ts';

const SECOND_MS = 1000;
export const MINUTE_MS = 60_000;
export const HOUR_MS: number = 60 * MINUTE_MS;
export const DAY_MS: number = 24 * HOUR_MS;

const SINCE_START = /^(?:(\d+)d)?(?:(\d+)h)?(?:(\d+)m?)?(?:(\d+)s)?$/;
const TIMES_ALLOWED = "a time since the start such as '6h', '6h20', '7d3h', '45m' or '90s'";

/** Both ends belong to it. */
export interface TimeWindow {
  readonly fromMs: number;
  readonly toMs: number;
}

/** Milliseconds since the start of the case. A bare number other than 0 lacks its unit. */
export function parseSinceStart(text: string, place: Place): number {
  const match = SINCE_START.exec(text);
  const bare = /^\d+$/.test(text) && text !== '0';
  if (match === null || text === '' || bare) {
    throw new CaseError(place, `'${text}' is no time`, TIMES_ALLOWED);
  }
  const [, days, hours, minutes, seconds] = match.map((part) => Number(part ?? 0));
  return (
    (days ?? 0) * DAY_MS +
    (hours ?? 0) * HOUR_MS +
    (minutes ?? 0) * MINUTE_MS +
    (seconds ?? 0) * SECOND_MS
  );
}

/** `6h10..6h15`, or one time, which then is both ends. */
export function parseWindow(text: string, place: Place): TimeWindow {
  const [from, to, ...more] = text.split('..');
  if (from === undefined || more.length > 0) {
    throw new CaseError(place, `'${text}' is no span of time`, "'6h10..6h15' or one time");
  }
  const fromMs = parseSinceStart(from, place);
  const toMs = to === undefined ? fromMs : parseSinceStart(to, place);
  if (toMs < fromMs) {
    throw new CaseError(place, `'${text}' ends before it begins`, 'the earlier time first');
  }
  return { fromMs, toMs };
}

/** `02:30` of a day, in ms after midnight UTC. */
export function parseTimeOfDay(text: string, place: Place): number {
  const match = /^([01]\d|2[0-4]):([0-5]\d)$/.exec(text);
  if (match === null) {
    throw new CaseError(place, `'${text}' is no time of day`, "'00:00' to '24:00'");
  }
  return Number(match[1]) * HOUR_MS + Number(match[2]) * MINUTE_MS;
}

/** `10 min`, `1 h`, `30 s`. */
export function parseDuration(text: string, place: Place): number {
  const match = /^(\d+) (s|min|h)$/.exec(text);
  const count = Number(match?.[1]);
  if (match === null || count === 0) {
    throw new CaseError(place, `'${text}' is no duration`, "'30 s', '10 min' or '1 h'");
  }
  return count * { s: SECOND_MS, min: MINUTE_MS, h: HOUR_MS }[match[2] as 's' | 'min' | 'h'];
}

/** The way back: `7d3h20`, with seconds only where there are any. */
export function sinceStartWords(ms: number): string {
  if (ms < 0) return `${sinceStartWords(-ms)} before the start`;
  const days = Math.floor(ms / DAY_MS);
  const hours = Math.floor((ms % DAY_MS) / HOUR_MS);
  const minutes = Math.floor((ms % HOUR_MS) / MINUTE_MS);
  const seconds = Math.round((ms % MINUTE_MS) / SECOND_MS);
  const words = [
    days > 0 ? `${days}d` : '',
    hours > 0 ? `${hours}h` : '',
    minutes > 0 && hours > 0 ? String(minutes).padStart(2, '0') : '',
    minutes > 0 && hours === 0 ? `${minutes}m` : '',
    minutes > 0 && hours > 0 && seconds > 0 ? 'm' : '',
    seconds > 0 ? `${seconds}s` : '',
  ].join('');
  return words === '' ? '0' : words;
}
