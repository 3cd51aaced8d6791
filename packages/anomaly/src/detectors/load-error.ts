import { type FieldGuards, hasShape, isListOf, isNullOr, isNumber } from '../field-guards.ts';
import { hundredths } from './kept-digits.ts';
import { LOAD_STAGES, withStage } from './load-stage.ts';
import { smoothed } from './smoothing.ts';

/**
 * An error of the leakage sensor that goes with the load: a split core that sits otherwise since
 * somebody moved it, or whose jaws rust. Raises nothing; the leakage detector allows for it.
 *
 * Uses: what leaks beyond health under each load and at rest, the amps of each load. An error is
 * in proportion to the amps under every load, and is gone at rest. A leak is not: in one load it
 * does not go with the amps of another, and on the line side it is there at rest.
 */
export interface LoadErrorSlice {
  /** By stage of load, the newest load of it. */
  readonly loads: readonly (SeenLoad | null)[];
  /** For how long the loads have agreed, ms. */
  readonly agreedMs: number;
}

interface SeenLoad {
  readonly atMs: number;
  /** Since when there is an excess under this load; 0 while there is none. */
  readonly sinceMs: number;
  readonly amps: number;
  /** Beyond what is healthy, mA, over the last minutes of this spell. */
  readonly milliamps: number;
}

/** Of the largest phase: split-core sensors err by up to 0.1 % of the load, and currents differ. */
const MOST_MILLIAMPS_PER_AMP = 1.1;
const LEVEL_TIME_CONSTANT_MS = 120_000;
/** After so long it is another spell: a film may have come or gone. */
const SPELL_GAP_MS = 1_800_000;
const SAME_LOAD_SHARE = 0.15;
const TELLS_FOR_MS: number = 24 * 3_600_000;
/** Running under any load: three or four cycles. */
const PROVEN_MS = 3_600_000;
const MOST_GAP_MS = 300_000;
/** Loads whose amps are nearer to each other than this do not tell a proportion. */
const OTHER_LOAD_RATIO = 1.6;
/** Of the same error in mA/A: it and what else leaks add as phasors, most so under small loads. */
const LEAST_SHARE = 0.4;
const MOST_SHARE = 1.6;
/** Where rest is not seen, what leaks under the smaller load may be on the line side. */
const LEAST_SHARE_UNRESTED = 0.6;
/** Beyond what a healthy level scatters by, mA. */
const LEAST_MILLIAMPS = 0.8;
/** At rest no more than this is left of it. */
const REST_SHARE = 0.1;
const REST_MILLIAMPS = 0.5;
/** The loads agree when they leave no more of an excess. */
const AGREED_SHARE = 0.7;
/** So much more than the other loads say is still the error. */
const ALLOWED_RATIO = 2;

const NO_LOADS: readonly null[] = new Array<null>(LOAD_STAGES).fill(null);
export const LOAD_ERROR_START: LoadErrorSlice = { loads: NO_LOADS, agreedMs: 0 };

export const LOAD_ERROR_FIELDS: FieldGuards<LoadErrorSlice> = {
  loads: isListOf(
    isNullOr(
      hasShape<SeenLoad>({
        atMs: isNumber,
        sinceMs: isNumber,
        amps: isNumber,
        milliamps: isNumber,
      }),
    ),
    LOAD_STAGES,
  ),
  agreedMs: isNumber,
};

/**
 * @param excessMilliamps beyond what is healthy under this load
 * @param errorMilliamps `loadErrorMilliamps` of it
 */
export function stepLoadError(
  slice: LoadErrorSlice,
  atMs: number,
  stage: number,
  amps: number,
  excessMilliamps: number,
  errorMilliamps: number,
): LoadErrorSlice {
  const before = slice.loads[stage] ?? null;
  const elapsedMs = before === null ? 0 : atMs - before.atMs;
  const goesOn = before !== null && elapsedMs <= SPELL_GAP_MS && isSameLoad(before.amps, amps);
  const milliamps = hundredths(
    goesOn
      ? smoothed(before.milliamps, excessMilliamps, elapsedMs, LEVEL_TIME_CONSTANT_MS)
      : excessMilliamps,
  );
  const hadExcess = before !== null && before.sinceMs > 0 ? before.sinceMs : atMs;
  const next: SeenLoad = {
    atMs,
    sinceMs: excessMilliamps >= LEAST_MILLIAMPS ? hadExcess : 0,
    amps: goesOn ? before.amps : hundredths(amps),
    milliamps,
  };
  const agrees = errorMilliamps > 0 && errorMilliamps >= AGREED_SHARE * excessMilliamps;
  const agreedMs = agrees ? slice.agreedMs + Math.min(elapsedMs, MOST_GAP_MS) : 0;
  return { loads: withStage(slice.loads, stage, next), agreedMs };
}

/** Whether the loads have agreed for so long that the error is the unit's own from now on. */
export function isProven({ agreedMs }: LoadErrorSlice): boolean {
  return agreedMs >= PROVEN_MS;
}

/**
 * What the error adds under each stage of load, mA/A: as was seen there, or as under the largest
 * load where it was not seen since the error came.
 */
export function errorsPerAmp({ loads }: LoadErrorSlice, nowMs: number): readonly number[] {
  const perAmp = loads.map((load) =>
    load === null || nowMs - load.atMs > TELLS_FOR_MS ? 0 : load.milliamps / load.amps,
  );
  const least = LEAST_SHARE * Math.max(...perAmp);
  const largest = perAmp.findLast((each) => each > least) ?? 0;
  return perAmp.map((each) => (each > least ? each : largest));
}

/**
 * How much of an excess is the sensor's error, mA: as much as the other loads say, and only where
 * they agree that it goes with the amps.
 *
 * @param restMilliamps what leaks beyond health at rest; null where that was not seen of late
 */
export function loadErrorMilliamps(
  { loads }: LoadErrorSlice,
  restMilliamps: number | null,
  atMs: number,
  stage: number,
  amps: number,
  excessMilliamps: number,
): number {
  const perAmp = excessMilliamps / amps;
  if (excessMilliamps < LEAST_MILLIAMPS || perAmp > MOST_MILLIAMPS_PER_AMP) return 0;
  const most = REST_SHARE * excessMilliamps + REST_MILLIAMPS;
  if (restMilliamps !== null && restMilliamps > most) return 0;
  const leastShare = restMilliamps === null ? LEAST_SHARE_UNRESTED : LEAST_SHARE;
  const own = loads[stage] ?? null;
  const sinceMs = own === null || own.sinceMs === 0 ? atMs : own.sinceMs;
  let said = 0;
  for (const [index, other] of loads.entries()) {
    if (index === stage || other === null || isSameLoad(other.amps, amps)) continue;
    const othersPerAmp = other.milliamps / other.amps;
    const agrees =
      other.milliamps >= LEAST_MILLIAMPS &&
      isInProportion(othersPerAmp / perAmp, amps / other.amps, leastShare);
    // What was seen before the excess came says nothing against it.
    if (!agrees && other.atMs > sinceMs) return 0;
    const ratio = Math.max(amps / other.amps, other.amps / amps);
    const tells = atMs - other.atMs <= TELLS_FOR_MS && ratio >= OTHER_LOAD_RATIO;
    if (agrees && tells) said = Math.max(said, othersPerAmp);
  }
  return Math.min(excessMilliamps, ALLOWED_RATIO * said * amps);
}

/**
 * Whether another load has about as many mA/A, and rather that than as many mA, which would be
 * `ratio` times as many mA/A.
 *
 * @param ratio amps of this load over those of the other
 */
function isInProportion(share: number, ratio: number, leastShare: number): boolean {
  const between = Math.sqrt(ratio);
  return ratio > 1
    ? share >= leastShare && share <= Math.min(between, MOST_SHARE)
    : share >= Math.max(between, leastShare) && share <= MOST_SHARE;
}

function isSameLoad(one: number, other: number): boolean {
  return Math.abs(one - other) <= SAME_LOAD_SHARE * other;
}
