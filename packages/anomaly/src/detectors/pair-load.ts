import { type FieldGuard, isListOf, isNullOr, isNumber } from '../field-guards.ts';
import { hundredths } from './kept-digits.ts';
import type { ThreePhases } from './sample.ts';

/**
 * The usual load on two phases alone: a single-phase fan between two lines.
 *
 * It runs with nothing on the third phase in health, which is what a lost phase looks like. So its
 * phases and amps are learned from the unit's own running, as long as nobody says that a phase is
 * lost: an outlet that lent the third phase some current yesterday does not make the fan of today a
 * three-phase load.
 */
export type PairLoad = readonly [missing: number, amps: number, readings: number] | null;

export const isPairLoad: FieldGuard = isNullOr(isListOf(isNumber, 3));

const PHASES = ['a', 'b', 'c'] as const;
/** As many readings as an hour brings at the slower cadence. */
const KNOWN_READINGS = 30;
/** One fan at another voltage and temperature; two phases of a motor carry 1.73 times as much. */
const SAME_LOAD_SHARE = 0.2;
/** Weather moves a fan's current slowly. */
const FOLLOWS_SHARE = 0.02;
/** True when these are the phases and amps of the pair load that is known. */
export function isKnownPairLoad(
  pair: PairLoad,
  phase: 'a' | 'b' | 'c',
  middleAmps: number,
): boolean {
  if (pair === null || pair[2] < KNOWN_READINGS) return false;
  return PHASES[pair[0]] === phase && middleAmps <= (1 + SAME_LOAD_SHARE) * pair[1];
}

/** One running reading with nothing on `phase`, at which no phase was lost. */
export function learnPairLoad(
  pair: PairLoad,
  phase: 'a' | 'b' | 'c',
  middleAmps: number,
): PairLoad {
  const missing = PHASES.indexOf(phase);
  if (pair === null) return [missing, hundredths(middleAmps), 1];
  const [place, amps, readings] = pair;
  const isSame = place === missing && Math.abs(middleAmps / amps - 1) <= SAME_LOAD_SHARE;
  if (!isSame) {
    // What is known is forgotten as slowly as it was learned.
    return readings > 1 ? [place, amps, readings - 1] : [missing, hundredths(middleAmps), 1];
  }
  const share = Math.max(FOLLOWS_SHARE, 1 / (readings + 1));
  const next = hundredths(amps + share * (middleAmps - amps));
  // A step below the resolution is not taken: most readings change nothing.
  return next === amps && readings >= KNOWN_MOST
    ? pair
    : [place, next, Math.min(readings + 1, KNOWN_MOST)];
}

/** A day of another load does not undo what a winter has taught. */
const KNOWN_MOST = 300;

/** The middle one of the three currents, A. */
export function middleAmpsOf({ a, b, c, largest, smallest }: ThreePhases): number {
  return a + b + c - largest - smallest;
}
