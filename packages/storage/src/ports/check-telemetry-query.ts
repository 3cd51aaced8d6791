import { CHANNEL_NAMES } from '@lineside/readings';
import { StoreError } from './store-error.ts';
import {
  type ExtremesQuery,
  QUARTERS_MOST_QUERIES,
  type QuartersQuery,
  type RangeQuery,
  type ReadingsQuery,
} from './telemetry-store.ts';

/** What people can look at, and what a page can draw, ends far below. */
export const RANGE_MOST_POINTS = 20_000;

/** The year 9999 ends here; event times are below. */
const TIME_END_MS: number = Date.UTC(10_000, 0, 1);

/** @throws StoreError `STORE_BAD_INPUT` saying what breaks the port's rules. */
export function checkRangeQuery(query: RangeQuery): void {
  checkSpan(query.fromMs, query.toMs);
  checkCount('points', query.points, RANGE_MOST_POINTS);
  if (query.channels !== null) checkChannels(query.channels);
}

/** @throws StoreError `STORE_BAD_INPUT` saying what breaks the port's rules. */
export function checkReadingsQuery(query: ReadingsQuery): void {
  checkSpan(query.fromMs, query.toMs);
  checkCount('limit', query.limit, Number.MAX_SAFE_INTEGER);
}

/** @throws StoreError `STORE_BAD_INPUT` saying what breaks the port's rules. */
export function checkExtremesQuery(query: ExtremesQuery): void {
  checkSpan(query.fromMs, query.toMs);
  checkChannels(query.channels);
}

/** @throws StoreError `STORE_BAD_INPUT` saying what breaks the port's rules. */
export function checkQuartersQueries(queries: readonly QuartersQuery[]): void {
  if (queries.length > QUARTERS_MOST_QUERIES) {
    throw badInput(`${queries.length} spans in one call, more than ${QUARTERS_MOST_QUERIES}`);
  }
  for (const { fromMs, toMs, channels } of queries) {
    checkSpan(fromMs, toMs);
    checkChannels(channels);
  }
}

/** @throws StoreError `STORE_BAD_INPUT` unless `atMs` is a whole number of ms from 1970 to 9999. */
export function checkTime(what: string, atMs: number): void {
  if (Number.isInteger(atMs) && atMs >= 0 && atMs <= TIME_END_MS) return;
  throw badInput(`${what} is ${atMs}, not a whole number of ms from 1970 to 9999`);
}

function checkSpan(fromMs: number, toMs: number): void {
  checkTime('fromMs', fromMs);
  checkTime('toMs', toMs);
  if (fromMs > toMs) throw badInput(`fromMs ${fromMs} is after toMs ${toMs}`);
}

function checkCount(what: string, count: number, most: number): void {
  if (Number.isInteger(count) && count >= 1 && count <= most) return;
  throw badInput(`${what} is ${count}, not a whole number from 1 to ${most}`);
}

function checkChannels(names: readonly string[]): void {
  const known: readonly string[] = CHANNEL_NAMES;
  const unknown = names.find((name) => !known.includes(name));
  if (unknown !== undefined) throw badInput(`there is no channel "${unknown}"`);
}

function badInput(problem: string): StoreError {
  return new StoreError('STORE_BAD_INPUT', `Telemetry cannot be asked like this: ${problem}`);
}
