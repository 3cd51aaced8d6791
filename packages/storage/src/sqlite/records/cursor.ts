import { StoreError } from '../../ports/store-error.ts';

/** Where a page ends: the sort key of its last item, and the item's id where keys may be equal. */
export interface Place {
  readonly key: number;
  readonly id: string;
}

/** Text for a place in the named list. Readers must not look into it. */
export function writeCursor(list: string, place: Place): string {
  return Buffer.from(JSON.stringify([list, place.key, place.id])).toString('base64url');
}

/**
 * The place that a cursor of this list stands for, or null at the start.
 *
 * @throws StoreError `STORE_BAD_INPUT` for anything that `writeCursor` did not write for this list.
 */
export function readCursor(list: string, cursor: string | null): Place | null {
  if (cursor === null) return null;
  const [name, key, id] = parsedList(cursor);
  const isPlace = name === list && Number.isSafeInteger(key) && typeof id === 'string';
  if (isPlace && typeof key === 'number') {
    const place = { key, id };
    if (writeCursor(list, place) === cursor) return place;
  }
  const message = 'cursor is not one that this list gave; start without a cursor';
  throw new StoreError('STORE_BAD_INPUT', message);
}

function parsedList(cursor: unknown): readonly unknown[] {
  if (typeof cursor !== 'string') return [];
  try {
    const value: unknown = JSON.parse(Buffer.from(cursor, 'base64url').toString());
    return Array.isArray(value) ? value : [];
  } catch {
    return [];
  }
}
