import { type RecordStore, StoreError } from '@lineside/storage';
import { expect } from 'vitest';

/** An empty place with a store in it, made by an adapter for its contract tests. */
export interface RecordPlace {
  readonly store: RecordStore;
  /** A second opening of the same data, as another program would. */
  another(): Promise<RecordStore>;
  /** Closes the first store and opens its data again. */
  reopen(): Promise<RecordStore>;
  /** A store on what `backup` wrote into `file`. */
  restored(file: string): Promise<RecordStore>;
  /** A file that does not exist yet, in a folder that does not exist yet. */
  freshFile(): string;
  /** Closes all stores that this place gave out and removes its data. */
  dispose(): Promise<void>;
}

export type MakePlace = () => Promise<RecordPlace>;

/** What the promise rejects with, which must be a `StoreError` of this code. */
export async function expectFailure(
  promise: Promise<unknown>,
  code: StoreError['code'],
): Promise<StoreError> {
  const error: unknown = await promise.then(
    () => null,
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(StoreError);
  const failure = error as StoreError;
  expect(`${failure.code}: ${failure.message}`).toMatch(new RegExp(`^${code}: .{10,}`));
  return failure;
}

/** Every item of a list, read page by page. */
export async function everyItem<T>(
  read: (
    cursor: string | null,
  ) => Promise<{ readonly items: readonly T[]; readonly next: string | null }>,
): Promise<readonly T[]> {
  const all: T[] = [];
  let cursor: string | null = null;
  do {
    const page: { readonly items: readonly T[]; readonly next: string | null } = await read(cursor);
    all.push(...page.items);
    cursor = page.next;
  } while (cursor !== null);
  return all;
}

/** Limits and cursors that no list takes. */
export const ILLEGAL_PAGES = [
  { limit: 0, cursor: null },
  { limit: -1, cursor: null },
  { limit: 1_001, cursor: null },
  { limit: 1.5, cursor: null },
  { limit: Number.NaN, cursor: null },
  { limit: 10, cursor: '' },
  { limit: 10, cursor: 'made up' },
  { limit: 10, cursor: Buffer.from('[1,2,3]').toString('base64url') },
  { limit: 10, cursor: Buffer.from('{"key":1}').toString('base64url') },
  { limit: 10, cursor: Buffer.from('["alarms",1.5,"a"]').toString('base64url') },
] as const;
