import { instantOfLocal, localFieldValue, weekdayAndTime } from '../words/times.ts';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;
/** When an office begins, common practice, no source. */
const MORNING = '07:00';

/** An end of a shelf that can be chosen. */
export interface ShelfEnd {
  readonly atMs: number;
  readonly words: string;
}

/** Ends of a shelf, by the clock of the site: hours for a visit, days for a part, at most 30. */
export function shelfEnds(nowMs: number, zone: string): readonly ShelfEnd[] {
  const morningIn = (days: number): number => {
    const date = localFieldValue(nowMs + days * DAY_MS, zone).slice(0, 10);
    return instantOfLocal(`${date}T${MORNING}`, zone) ?? nowMs + days * DAY_MS;
  };
  const ends = [
    { atMs: nowMs + 4 * HOUR_MS, words: '4 hours' },
    { atMs: morningIn(1), words: 'tomorrow morning' },
    { atMs: morningIn(3), words: '3 days' },
    { atMs: morningIn(7), words: 'a week' },
    { atMs: morningIn(29), words: 'four weeks' },
  ];
  return ends.map(({ atMs, words }) => ({
    atMs,
    words: `${words}, until ${weekdayAndTime(atMs, zone, nowMs)}`,
  }));
}
