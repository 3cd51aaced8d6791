import { type Page, type PageRequest, StoreError } from '@lineside/storage';

const PAGE_MOST_ITEMS = 1_000;

interface Place {
  readonly key: number;
  readonly id: string;
}

export function badInput(message: string): StoreError {
  return new StoreError('STORE_BAD_INPUT', message);
}

/** Stores keep times as whole numbers of ms. */
export function checkTimes(what: string, ...times: readonly (number | null)[]): void {
  const wrong = times.find((atMs) => atMs !== null && !Number.isSafeInteger(atMs));
  if (wrong !== undefined) throw badInput(`${what} has a time that is no whole number: ${wrong}`);
}

export function checkLimit(limit: number): void {
  if (Number.isInteger(limit) && limit >= 1 && limit <= PAGE_MOST_ITEMS) return;
  throw badInput(`limit must be a whole number from 1 to ${PAGE_MOST_ITEMS}, it is ${limit}`);
}

/** A value as plain JSON: what a database gives back of it. */
export function asJson(what: string, value: unknown): string {
  const text: string | undefined = JSON.stringify(value);
  if (text === undefined) throw badInput(`${what} must be plain JSON, it is ${typeof value}`);
  return text;
}

/** One page of the items, newest first; `placeOf` gives the keys that they are sorted by. */
export function pageOf<T>(
  list: string,
  request: PageRequest,
  items: readonly T[],
  placeOf: (item: T) => Place,
): Page<T> {
  return sortedPage(list, request, items, placeOf, (one, other) => isBefore(other, one));
}

/** The same, oldest first. */
export function oldestFirstPageOf<T>(
  list: string,
  request: PageRequest,
  items: readonly T[],
  placeOf: (item: T) => Place,
): Page<T> {
  return sortedPage(list, request, items, placeOf, isBefore);
}

function sortedPage<T>(
  list: string,
  { limit, cursor }: PageRequest,
  items: readonly T[],
  placeOf: (item: T) => Place,
  isEarlierShown: (one: Place, other: Place) => boolean,
): Page<T> {
  checkLimit(limit);
  const place = cursor === null ? null : readCursor(list, cursor);
  const sorted = items
    .map((item) => ({ item, place: placeOf(item) }))
    .filter((one) => place === null || isEarlierShown(place, one.place))
    .sort((one, other) => (isEarlierShown(one.place, other.place) ? -1 : 1));
  const shown = sorted.slice(0, limit);
  const last = shown.at(-1);
  const isEnd = sorted.length <= limit || last === undefined;
  return {
    items: shown.map(({ item }) => item),
    next: isEnd ? null : writeCursor(list, last.place),
  };
}

export function isBefore(one: Place, other: Place): boolean {
  return one.key < other.key || (one.key === other.key && one.id < other.id);
}

function writeCursor(list: string, { key, id }: Place): string {
  return Buffer.from(JSON.stringify([list, key, id])).toString('base64url');
}

function readCursor(list: string, cursor: string): Place {
  const words = parsed(cursor);
  const [name, key, id] = words;
  if (name === list && Number.isSafeInteger(key) && typeof key === 'number') {
    if (typeof id === 'string' && writeCursor(list, { key, id }) === cursor) return { key, id };
  }
  throw badInput('cursor is not one that this list gave; start without a cursor');
}

function parsed(cursor: string): readonly unknown[] {
  try {
    const value: unknown = JSON.parse(Buffer.from(cursor, 'base64url').toString());
    return Array.isArray(value) ? value : [];
  } catch {
    return [];
  }
}
