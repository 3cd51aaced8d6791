import type { Page, PageRequest } from '../../ports/record-store.ts';
import { StoreError } from '../../ports/store-error.ts';
import { type Place, readCursor, writeCursor } from './cursor.ts';

/** Most items of one page or one read of the journal, as the port says. */
const PAGE_MOST_ITEMS = 1_000;

/** Later than any item, and earlier: where the first page starts. */
const LATEST: Place = { key: Number.MAX_SAFE_INTEGER, id: '' };
const EARLIEST: Place = { key: Number.MIN_SAFE_INTEGER, id: '' };

/** What a page's statement is given: items before the place, one more than the page has. */
export interface PageParameters {
  readonly beforeKey: number;
  readonly beforeId: string;
  readonly rows: number;
}

/** The same for a list that is read oldest first: items after the place. */
export interface AfterParameters {
  readonly afterKey: number;
  readonly afterId: string;
  readonly rows: number;
}

/**
 * Reads one page, newest first. Each page starts at the last item of the one before, not at a
 * count, so that items added meanwhile neither repeat nor hide others.
 *
 * @param list name of the list; a cursor of another list is refused.
 * @param select gives rows in order, after the place of the parameters.
 */
export function readPage<R, T>(
  list: string,
  request: PageRequest,
  select: (parameters: PageParameters) => readonly R[],
  itemOf: (row: R) => T,
  placeOf: (row: R) => Place,
): Page<T> {
  const place = readCursor(list, request.cursor) ?? LATEST;
  const rows = checkedLimit(request.limit) + 1;
  const found = select({ beforeKey: place.key, beforeId: place.id, rows });
  return cutPage(list, request.limit, found, itemOf, placeOf);
}

/** Reads one page as `readPage` does, oldest first. */
export function readOldestFirst<R, T>(
  list: string,
  request: PageRequest,
  select: (parameters: AfterParameters) => readonly R[],
  itemOf: (row: R) => T,
  placeOf: (row: R) => Place,
): Page<T> {
  const place = readCursor(list, request.cursor) ?? EARLIEST;
  const rows = checkedLimit(request.limit) + 1;
  const found = select({ afterKey: place.key, afterId: place.id, rows });
  return cutPage(list, request.limit, found, itemOf, placeOf);
}

function cutPage<R, T>(
  list: string,
  limit: number,
  rows: readonly R[],
  itemOf: (row: R) => T,
  placeOf: (row: R) => Place,
): Page<T> {
  const shown = rows.slice(0, limit);
  const last = shown.at(-1);
  const isEnd = rows.length <= limit || last === undefined;
  return { items: shown.map(itemOf), next: isEnd ? null : writeCursor(list, placeOf(last)) };
}

/** @throws StoreError `STORE_BAD_INPUT` outside 1 to 1,000. */
export function checkedLimit(limit: number): number {
  if (Number.isInteger(limit) && limit >= 1 && limit <= PAGE_MOST_ITEMS) return limit;
  const message = `limit must be a whole number from 1 to ${PAGE_MOST_ITEMS}, it is ${limit}`;
  throw new StoreError('STORE_BAD_INPUT', message);
}
