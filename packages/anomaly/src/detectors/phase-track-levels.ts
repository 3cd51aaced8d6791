import { type FieldGuard, isListOf, isNullOr, isNumber } from '../field-guards.ts';
import { withStage } from './load-stage.ts';
import type { ThreePhases } from './sample.ts';
import { smoothed } from './smoothing.ts';

/**
 * What the three phases carry at rest: now, and what is known of it by temperature, in a dry film
 * and in a wet one. What `phase-track.ts` compares. Raises nothing.
 */

/**
 * When it was last seen, for how long in all (up to what is asked for), and the amps. In whole
 * seconds: there are many, and each digit takes room in the saved state.
 */
export type RestLevel = readonly [
  atSeconds: number,
  seenSeconds: number,
  a: number,
  b: number,
  c: number,
];
/** By temperature, coldest first. */
export type RestLevels = readonly (RestLevel | null)[];
type Amps = readonly [a: number, b: number, c: number];

const HOUR_MS = 3_600_000;
/** A film changes within minutes; looking at each reading would cost and tell no more. */
export const LOOK_EVERY_MS = 110_000;
const BANDS = 8;
const BAND_KELVIN = 5;
const COLDEST_CELSIUS = -6;
const WET_TIME_CONSTANT_MS = 1_200_000;
const LEVEL_TIME_CONSTANT_MS: number = 6 * HOUR_MS;
/** A track that grows must not be learned as what was there before. */
const DAMP_RISES_MS: number = 20 * 24 * HOUR_MS;
/** A step of what rises within weeks must not be lost in rounding. */
const DAMP_EVERY_MS = 600_000;
/** A single odd reading is no state of a load. */
const PASSING_MS: number = HOUR_MS / 12;
const MOST_GAP_MS = 900_000;
/** Until then a mean moves by noise alone. */
const SETTLED_MS = 600_000;
const SEEN_TO_COMPARE_MS: number = 2 * HOUR_MS;
const LEVEL_KEEPS_MS: number = 30 * 24 * HOUR_MS;
/** A film does not change so much between two looks; a heater's thermostat does. */
const SWITCHED_AMPS = 0.08;
const SWITCHED_SHARE = 0.2;
const PER_UNIT = 1e5;
const SECOND_MS = 1000;

export const NO_LEVELS: RestLevels = new Array<null>(BANDS).fill(null);
export const isRestLevel: FieldGuard = isNullOr(isListOf(isNumber, 5));
export const areRestLevels: FieldGuard = isListOf(isRestLevel, BANDS);

/** Index of the band of air temperature. */
export function bandOf(celsius: number): number {
  const band = Math.floor((celsius - COLDEST_CELSIUS) / BAND_KELVIN) + 1;
  return Math.min(Math.max(band, 0), BANDS - 1);
}

/** How long ago it was seen, ms. */
export function ageMs([atSeconds]: RestLevel, nowMs: number): number {
  return nowMs - SECOND_MS * atSeconds;
}

/** Whether a mean has settled, so that it moves by more than noise. */
export function isSettledMean([, seenSeconds]: RestLevel): boolean {
  return SECOND_MS * seenSeconds >= SETTLED_MS;
}

/** Whether it was seen for long enough, and lately enough, to compare with. */
export function isKnown(level: RestLevel, nowMs: number): boolean {
  return SECOND_MS * level[1] >= SEEN_TO_COMPARE_MS && ageMs(level, nowMs) <= LEVEL_KEEPS_MS;
}

/** More than this between two looks was switched, A. */
export function switchedAmps(amps: number): number {
  return Math.max(SWITCHED_AMPS, SWITCHED_SHARE * amps);
}

/** The levels with what flows in a dry film at this temperature. */
export function withDry(
  dry: RestLevels,
  atMs: number,
  { a, b, c }: ThreePhases,
  band: number,
): RestLevels {
  const level = learned(dry[band] ?? null, atMs, [a, b, c], LEVEL_TIME_CONSTANT_MS);
  return withStage(dry, band, level);
}

/** The levels with what flows in a wet film at this temperature, from a mean that has settled. */
export function withDamp(damp: RestLevels, wet: RestLevel, band: number): RestLevels {
  const before = damp[band] ?? null;
  const atMs = SECOND_MS * wet[0];
  if (!isSettledMean(wet) || (before !== null && ageMs(before, atMs) < DAMP_EVERY_MS)) return damp;
  const [, , a, b, c] = wet;
  return withStage(damp, band, learned(before, atMs, [a, b, c], DAMP_RISES_MS));
}

/**
 * What flows at one temperature, over hours. Loads that come and go at rest (a thermostat's heater,
 * a small fan) are not mixed: the lesser state counts, once it has lasted for some looks.
 *
 * @param risesMs how slowly it follows what flows more; what flows less it follows within hours.
 */
function learned(
  before: RestLevel | null,
  atMs: number,
  [a, b, c]: Amps,
  risesMs: number,
): RestLevel {
  const atSeconds = Math.round(atMs / SECOND_MS);
  if (before === null) return [atSeconds, 0, a, b, c];
  const [, seenSeconds, lastA, lastB, lastC] = before;
  const seenMs = SECOND_MS * seenSeconds;
  const most = Math.max(lastA, lastB, lastC);
  const step = Math.max(a, b, c) - most;
  if (Math.abs(step) > switchedAmps(most)) {
    return step < 0 || seenMs < PASSING_MS ? [atSeconds, 0, a, b, c] : before;
  }
  const known = seenMs >= SEEN_TO_COMPARE_MS;
  return mixed(before, atMs, [a, b, c], LEVEL_TIME_CONSTANT_MS, (elapsedMs, rises) => {
    const slowMs = known && rises ? risesMs : LEVEL_TIME_CONSTANT_MS;
    // The first hours make a plain mean, so that one odd reading does not stay.
    return known ? slowMs : Math.min(slowMs, Math.max(seenMs, elapsedMs));
  });
}

/** The mean over about twenty minutes; the first of them make a plain one. */
export function withReading(
  before: RestLevel | null,
  atMs: number,
  { a, b, c }: ThreePhases,
): RestLevel {
  if (before === null) return [Math.round(atMs / SECOND_MS), 0, a, b, c];
  const seenMs = SECOND_MS * before[1];
  return mixed(before, atMs, [a, b, c], SEEN_TO_COMPARE_MS, (elapsedMs) =>
    Math.min(WET_TIME_CONSTANT_MS, Math.max(seenMs, elapsedMs)),
  );
}

/**
 * @param mostMs how much of the time seen is counted
 * @param constantMs the time constant of a phase after this time, which rises or does not
 */
function mixed(
  before: RestLevel,
  atMs: number,
  [a, b, c]: Amps,
  mostMs: number,
  constantMs: (elapsedMs: number, rises: boolean) => number,
): RestLevel {
  const [, seenSeconds, lastA, lastB, lastC] = before;
  const elapsedMs = Math.min(ageMs(before, atMs), MOST_GAP_MS);
  const phase = (level: number, amps: number): number =>
    rounded(smoothed(level, amps, elapsedMs, constantMs(elapsedMs, amps > level)));
  const seenMs = Math.min(SECOND_MS * seenSeconds + elapsedMs, mostMs);
  return [
    Math.round(atMs / SECOND_MS),
    Math.round(seenMs / SECOND_MS),
    phase(lastA, a),
    phase(lastB, b),
    phase(lastC, c),
  ];
}

function rounded(amps: number): number {
  return Math.round(amps * PER_UNIT) / PER_UNIT;
}
