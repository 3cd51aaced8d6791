import { instantOfLocal, localFieldValue, weekdayAndTime } from '../words/times.ts';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;
/** When an office begins, common practice, no source. */
const MORNING = '07:00';

/** An end that can be chosen. */
export interface EndChoice {
  readonly atMs: number;
  readonly words: string;
}

/** So long from now, or until the morning after so many nights. */
type Length = { readonly words: string } & (
  | { readonly afterMs: number }
  | { readonly mornings: number }
);

/** Lengths with their ends by the clock of the site, in the order given. */
export function endChoices(
  nowMs: number,
  zone: string,
  lengths: readonly Length[],
): readonly EndChoice[] {
  const morningIn = (days: number): number => {
    const date = localFieldValue(nowMs + days * DAY_MS, zone).slice(0, 10);
    return instantOfLocal(`${date}T${MORNING}`, zone) ?? nowMs + days * DAY_MS;
  };
  return lengths.map((length) => {
    const atMs = 'afterMs' in length ? nowMs + length.afterMs : morningIn(length.mornings);
    return { atMs, words: `${length.words}, until ${weekdayAndTime(atMs, zone, nowMs)}` };
  });
}

/** Ends of a shelf: hours for a visit, days for a part, at most 30. */
export function shelfEnds(nowMs: number, zone: string): readonly EndChoice[] {
  return endChoices(nowMs, zone, [
    { words: '4 hours', afterMs: 4 * HOUR_MS },
    { words: 'tomorrow morning', mornings: 1 },
    { words: '3 days', mornings: 3 },
    { words: 'a week', mornings: 7 },
    { words: 'four weeks', mornings: 29 },
  ]);
}
