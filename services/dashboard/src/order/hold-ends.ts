import type { Hold } from '../api/types.ts';
import { type EndChoice, endChoices } from './shelf-ends.ts';

const HOUR_MS = 3_600_000;

/** Ends of a hold, by the clock of the site: a visit or commissioning, or until a part comes. */
export function holdEnds(kind: Hold['kind'], nowMs: number, zone: string): readonly EndChoice[] {
  if (kind === 'maintenance') {
    return endChoices(nowMs, zone, [
      { words: '2 hours', afterMs: 2 * HOUR_MS },
      { words: '4 hours', afterMs: 4 * HOUR_MS },
      { words: 'tomorrow morning', mornings: 1 },
      { words: 'a week', mornings: 7 },
      { words: 'four weeks', mornings: 28 },
    ]);
  }
  return endChoices(nowMs, zone, [
    { words: 'tomorrow morning', mornings: 1 },
    { words: 'a week', mornings: 7 },
    { words: 'four weeks', mornings: 28 },
    { words: '13 weeks', mornings: 91 },
    { words: '25 weeks', mornings: 175 },
  ]);
}
