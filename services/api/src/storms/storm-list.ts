import type { Storm } from '@lineside/review';
import { mayReadSite, type Principal } from '../auth/principal.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { badRequest } from '../errors/api-error.ts';
import { CURSOR_RULE } from '../routes/api.ts';
import { STORMS_DEFAULT_DAYS, type StormListQuery } from '../schemas/storm.ts';
import { SPAN_WORDS, toStoreTime } from '../schemas/time-fields.ts';
import { type StormSpan, searchStorms } from './storm-search.ts';

const DAY_MS = 86_400_000;

/** Days that are searched at once: a page is mostly full before the next part is needed. */
const PART_DAYS = 60;

export interface StormPage {
  readonly storms: readonly Storm[];
  readonly next: string | null;
}

/** One page of the storms of a query, newest start first. */
export async function listStorms(
  dependencies: ApiDependencies,
  principal: Principal,
  query: StormListQuery,
): Promise<StormPage> {
  const after = query.cursor === undefined ? null : readCursor(query.cursor);
  const span = spanOf(query, dependencies.clock());
  if (query.site !== undefined && !mayReadSite(principal, query.site)) {
    return { storms: [], next: null };
  }
  const found: Storm[] = [];
  let toMs = after === null ? span.toMs : Math.min(span.toMs, after.startMs + 1);
  while (toMs > span.fromMs && found.length <= query.limit) {
    const fromMs = Math.max(span.fromMs, toMs - PART_DAYS * DAY_MS);
    const part = await searchStorms(dependencies, principal, { fromMs, toMs });
    const isLast = fromMs === span.fromMs;
    found.push(
      ...part.storms
        .filter(({ startMs }) => startMs >= fromMs || isLast)
        .filter(({ sites }) => query.site === undefined || sites.includes(query.site))
        .filter((storm) => after === null || isAfter(storm, after)),
    );
    toMs = fromMs;
  }
  const storms = found.slice(0, query.limit);
  const last = found.length > storms.length ? storms.at(-1) : undefined;
  return { storms, next: last === undefined ? null : writeCursor(last) };
}

function spanOf(query: StormListQuery, nowMs: number): StormSpan {
  const toMs = query.to ?? nowMs + 1;
  const fromMs = query.from ?? toMs - STORMS_DEFAULT_DAYS * DAY_MS;
  if (fromMs >= toMs) throw badRequest('from', SPAN_WORDS);
  return { fromMs: toStoreTime(fromMs), toMs: Math.min(toStoreTime(toMs), nowMs + DAY_MS) };
}

interface StormPosition {
  readonly startMs: number;
  readonly id: string;
}

/** The order of a list: newest start first, ties by id, the greater first. */
function isAfter({ startMs, id }: Storm, position: StormPosition): boolean {
  return startMs < position.startMs || (startMs === position.startMs && id < position.id);
}

function writeCursor({ startMs, id }: Storm): string {
  return Buffer.from(JSON.stringify([startMs, id])).toString('base64url');
}

/** Throws 400 for what `writeCursor` has not made. */
function readCursor(cursor: string): StormPosition {
  const [startMs, id, ...rest] = valuesIn(Buffer.from(cursor, 'base64url').toString());
  if (typeof startMs !== 'number' || typeof id !== 'string' || rest.length > 0) {
    throw badRequest('cursor', CURSOR_RULE);
  }
  return { startMs, id };
}

function valuesIn(json: string): readonly unknown[] {
  try {
    const value: unknown = JSON.parse(json);
    return Array.isArray(value) ? value : [];
  } catch {
    return [];
  }
}
