import type { Alarm } from '@lineside/alarms';
import type { ApiRecords } from '../dependencies.ts';
import { badRequest } from '../errors/api-error.ts';
import { PAGE_MOST_ITEMS } from '../schemas/page.ts';
import { toStoreTime } from '../schemas/time-fields.ts';

/** Alarms that one answer takes together: a year of a fleet of thousands has fewer. */
const MOST_ALARMS = 20_000;

/** Longest window of one answer: a year and a day of leap. */
const WINDOW_MOST_DAYS = 366;

const DAY_MS = 86_400_000;

export interface Window {
  readonly fromMs: number;
  readonly toMs: number;
}

/**
 * The window that a query asks for: until now and `defaultDays` long where it says nothing. Throws
 * 400 for one that is empty or longer than `WINDOW_MOST_DAYS`.
 */
export function windowOf(
  query: { readonly from?: number | undefined; readonly to?: number | undefined },
  nowMs: number,
  defaultDays: number,
): Window {
  const toMs = toStoreTime(query.to ?? nowMs);
  const fromMs = toStoreTime(query.from ?? toMs - defaultDays * DAY_MS);
  if (fromMs >= toMs) throw badRequest('from', 'must be before to (half open: from <= time < to)');
  if (toMs - fromMs > WINDOW_MOST_DAYS * DAY_MS) {
    throw badRequest('from', `must be at most ${WINDOW_MOST_DAYS} days before to`);
  }
  return { fromMs, toMs };
}

/**
 * Alarms that overlap the window, withdrawn ones included, page by page. Throws 400 when there are
 * more than one answer takes.
 *
 * @param sites only these; absent: all.
 */
export async function alarmsWithin(
  records: Pick<ApiRecords, 'alarms'>,
  window: Window,
  sites: readonly string[] | undefined,
): Promise<readonly Alarm[]> {
  const found: Alarm[] = [];
  let cursor: string | null = null;
  do {
    const { items, next } = await records.alarms({
      ...window,
      ...(sites === undefined ? {} : { sites }),
      withdrawn: true,
      limit: PAGE_MOST_ITEMS,
      cursor,
    });
    found.push(...items);
    if (found.length > MOST_ALARMS) {
      throw badRequest('from', `takes more than ${MOST_ALARMS} alarms; ask for a shorter time`);
    }
    cursor = next;
  } while (cursor !== null);
  return found;
}
