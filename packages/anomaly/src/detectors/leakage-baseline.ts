import {
  type FieldGuard,
  type FieldGuards,
  hasShape,
  isListOf,
  isNullOr,
  isNumber,
  isNumberOrNull,
} from '../field-guards.ts';
import { FILM_BANDS } from './film-humidity.ts';
import { hundredths } from './kept-digits.ts';
import { LOAD_STAGES, withStage } from './load-stage.ts';

/**
 * What the unit leaks when it is well, for each stage of load and each band of humidity. Raises
 * nothing.
 *
 * Uses: `leak`, the stage of load, the humidity of the film on the plate. Learned from one reading
 * in five minutes below the limits, with no leakage finding standing and the door not open. A band
 * of a stage counts as learned after four hours that span most of a day, or after 24 hours in all:
 * coverage of humidity counts, not days. The level is a mean whose steps are clipped, so that wild
 * values do not move it. Two loads may share a stage: a level is kept with the amps it belongs to,
 * and what another load leaks in proportion to its amps, or not beyond, does not move it.
 *
 * It cannot learn a growing fault away: readings above the routine limit are not learned from, a
 * level rises ten times slower than it falls, and never above a fifth more plus 0.2 mA of what it
 * was when it was first learned. Nor one that was there from the beginning: what a humid
 * band may leak is held against the drier bands (`healthyLevel`). A repair starts it anew.
 */
export interface LeakageBaselineSlice {
  /** By stage, then by band of humidity. */
  readonly stages: readonly (readonly (BandLevel | null)[] | null)[];
}

interface BandLevel {
  readonly atMs: number;
  /** 0 once it is learned. */
  readonly firstAtMs: number;
  readonly milliamps: number;
  /** The load that the level belongs to, A: it moves as far as the level does. */
  readonly amps: number;
  /** Mean deviation from the level, mA. */
  readonly spreadMilliamps: number;
  /** Time that has been learned from; 0 once it is learned. */
  readonly seenMs: number;
  /** The level when it was first learned; null while it is being learned. */
  readonly anchorMilliamps: number | null;
}

/** What a well unit leaks at this stage of load and humidity. */
export interface HealthyLevel {
  readonly milliamps: number;
  readonly spreadMilliamps: number;
  /** What it leaks in the driest band that is learned: a film is not part of the unit's own. */
  readonly driestMilliamps: number;
}

const MINUTE_MS = 60_000;
const HOUR_MS = 3_600_000;
const HABIT_SPREADS = 2;
/** So much warmth and voltage move the amps of a load. */
const SAME_LOAD_SHARE = 0.2;
/** Common practice, no source. */
const HEALTHY_MOST_MILLIAMPS = 3;
const LEAST_LOOK_MS: number = 10 * MINUTE_MS;
const LEAST_SEEN_MS: number = 4 * HOUR_MS;
const LEAST_SPAN_MS: number = 20 * HOUR_MS;
const SEEN_TO_LEARN_MS: number = 24 * HOUR_MS;
/** One reading in this time is enough of a sample, and costs a fifth of judging each. */
const LEARN_EVERY_MS: number = 5 * MINUTE_MS;
const MOST_GAP_MS: number = 15 * MINUTE_MS;
/** In the first two hours it takes the plain mean: there is no spread to clip by yet. */
const UNCLIPPED_MS: number = 2 * HOUR_MS;
const CLIP_SPREADS = 2;
const LEAST_CLIP_MILLIAMPS = 0.1;
/** Season and dirt move a healthy unit over weeks. */
const SLOWEST_TIME_CONSTANT_MS: number = 72 * HOUR_MS;
const RISE_SHARE = 0.1;
const MOST_RISE_RATIO = 1.2;
const MOST_RISE_MILLIAMPS = 0.2;
/**
 * What clean surfaces leak more in a humid band than in the driest, mA. Healthy units leak 0.3 to
 * 3 mA in all weathers (common practice, no source).
 */
const CLEAN_FILM_MILLIAMPS: readonly number[] = [0, 0.7, 1.4, 2];

export const LEAKAGE_BASELINE_START: LeakageBaselineSlice = {
  stages: new Array<null>(LOAD_STAGES).fill(null),
};

const isBand: FieldGuard = isNullOr(
  hasShape<BandLevel>({
    atMs: isNumber,
    firstAtMs: isNumber,
    milliamps: isNumber,
    amps: isNumber,
    spreadMilliamps: isNumber,
    seenMs: isNumber,
    anchorMilliamps: isNumberOrNull,
  }),
);

export const LEAKAGE_BASELINE_FIELDS: FieldGuards<LeakageBaselineSlice> = {
  stages: (value) =>
    Array.isArray(value) &&
    value.length === LOAD_STAGES &&
    isListOf(isNullOr(isListOf(isBand, FILM_BANDS)), LOAD_STAGES)(value),
};

/**
 * The unit's own level where it is learned; where only drier bands are, theirs and what a clean
 * film may add, which is also the most that is believed; where only wetter ones are, theirs. Null
 * while nothing of the stage is learned. Under a load greater than the one that a level belongs to
 * it grows in proportion: a stage spans a factor of two, and the sensor's error goes with the load.
 *
 * @param amps the largest phase current
 */
function healthyLevel(
  slice: LeakageBaselineSlice,
  stage: number,
  band: number,
  amps: number,
): HealthyLevel | null {
  const bands = slice.stages[stage] ?? null;
  if (bands === null) return null;
  const loadAmps = stage === 0 ? 0 : amps;
  let driest: BandLevel | null = null;
  let driestBand = 0;
  for (let index = 0; index < band && driest === null; index++) {
    driest = learned(bands[index] ?? null);
    driestBand = index;
  }
  const own = learned(bands[band] ?? null);
  if (driest === null) {
    const known = own ?? nearestWetter(bands, band);
    return known === null ? null : alone(known, loadAmps);
  }
  const film = (CLEAN_FILM_MILLIAMPS[band] ?? 0) - (CLEAN_FILM_MILLIAMPS[driestBand] ?? 0);
  const most = growth(driest, loadAmps) * driest.milliamps + film;
  if (own === null) {
    const spreadMilliamps = growth(driest, loadAmps) * driest.spreadMilliamps;
    return { milliamps: most, spreadMilliamps, driestMilliamps: driest.milliamps };
  }
  return {
    milliamps: Math.min(growth(own, loadAmps) * own.milliamps, most),
    spreadMilliamps: growth(own, loadAmps) * own.spreadMilliamps,
    driestMilliamps: driest.milliamps,
  };
}

/**
 * `healthyLevel`, or where the stage is not learned that of the next one, if it is learned under
 * much the same amps: a load that draws more on warm days crosses from one stage into another.
 */
export function healthyLevelNearby(
  slice: LeakageBaselineSlice,
  stage: number,
  band: number,
  amps: number,
): HealthyLevel | null {
  const own = healthyLevel(slice, stage, band, amps);
  if (own !== null || stage <= 0) return own;
  for (const next of [stage - 1, stage + 1]) {
    const learnedAmps = next > 0 ? meanAmps(slice.stages[next] ?? []) : 0;
    if (Math.abs(amps - learnedAmps) <= SAME_LOAD_SHARE * learnedAmps) {
      const level = healthyLevel(slice, next, band, amps);
      if (level !== null) return level;
    }
  }
  return null;
}

/** How many times the level a larger load may leak. */
function growth(level: BandLevel, amps: number): number {
  return level.amps > 0 ? Math.max(amps / level.amps, 1) : 1;
}

/** A drier film leaks no more than a wetter one: what is learned there is the most. */
function nearestWetter(bands: readonly (BandLevel | null)[], band: number): BandLevel | null {
  for (let index = band + 1; index < FILM_BANDS; index++) {
    const level = learned(bands[index] ?? null);
    if (level !== null) return level;
  }
  return null;
}

function alone(level: BandLevel, amps: number): HealthyLevel {
  const times = growth(level, amps);
  return {
    milliamps: times * level.milliamps,
    spreadMilliamps: times * level.spreadMilliamps,
    driestMilliamps: level.milliamps,
  };
}

function learned(level: BandLevel | null): BandLevel | null {
  return level === null || level.anchorMilliamps === null ? null : level;
}

/**
 * The least that the unit was wont to leak at this stage of load, in whatever film, over ten
 * minutes or more, mA: what is known before anything is learned. Null while it has not been seen
 * for so long. What came and went is no habit: the level less what it scatters by.
 */
export function leastSeenMilliamps(slice: LeakageBaselineSlice, stage: number): number | null {
  let least: number | null = null;
  for (const level of slice.stages[stage] ?? []) {
    if (level === null) continue;
    if (level.anchorMilliamps === null && level.seenMs < LEAST_LOOK_MS) continue;
    const habit = Math.max(level.milliamps - HABIT_SPREADS * level.spreadMilliamps, 0);
    least = Math.min(least ?? habit, habit);
  }
  return least;
}

/**
 * The most that any other stage of running load was wont to leak above the unit at rest for each
 * ampere of it, mA/A; 0: none was seen. Where rest was not seen, a healthy unit's 3 mA stand for
 * it.
 */
export function seenMilliampsPerAmp(slice: LeakageBaselineSlice, except: number): number {
  const restMilliamps = leastSeenMilliamps(slice, 0) ?? HEALTHY_MOST_MILLIAMPS;
  let most = 0;
  for (let stage = 1; stage < LOAD_STAGES; stage++) {
    const amps = stage === except ? 0 : meanAmps(slice.stages[stage] ?? []);
    if (amps <= 0) continue;
    most = Math.max(most, ((leastSeenMilliamps(slice, stage) ?? 0) - restMilliamps) / amps);
  }
  return most;
}

function meanAmps(bands: readonly (BandLevel | null)[]): number {
  const seen = bands.filter((level) => level !== null);
  return seen.reduce((sum, { amps }) => sum + amps, 0) / Math.max(seen.length, 1);
}

/** True until something is learned for at least one stage of load. */
export function isLearning({ stages }: LeakageBaselineSlice): boolean {
  return stages.every((bands) => bands === null || bands.every((level) => learned(level) === null));
}

/** Learns from one reading that the caller holds for healthy (see above). */
export function stepLeakageBaseline(
  slice: LeakageBaselineSlice,
  atMs: number,
  milliamps: number,
  stage: number,
  band: number,
  amps: number,
): LeakageBaselineSlice {
  const bands = slice.stages[stage] ?? new Array<null>(FILM_BANDS).fill(null);
  const before = bands[band] ?? null;
  if (before !== null && atMs - before.atMs < LEARN_EVERY_MS) return slice;
  const next =
    before === null ? begun(atMs, milliamps, amps) : nextLevel(before, atMs, milliamps, amps);
  const nextBands = bands.slice();
  nextBands[band] = next;
  return { stages: withStage(slice.stages, stage, nextBands) };
}

function begun(atMs: number, milliamps: number, amps: number): BandLevel {
  return {
    atMs,
    firstAtMs: atMs,
    milliamps,
    amps: hundredths(amps),
    spreadMilliamps: 0,
    seenMs: 0,
    anchorMilliamps: null,
  };
}

/**
 * Beyond what the level explains under this load, mA; below zero: short of it. Anything from a
 * leak that does not go with the load to one that goes in proportion is explained.
 */
function unexplained(level: BandLevel, milliamps: number, amps: number): number {
  const times = level.amps > 0 && amps > 0 ? amps / level.amps : 1;
  const least = Math.min(times, 1) * level.milliamps;
  const most = Math.max(times, 1) * level.milliamps;
  return milliamps < least ? milliamps - least : Math.max(milliamps - most, 0);
}

function nextLevel(before: BandLevel, atMs: number, milliamps: number, amps: number): BandLevel {
  const { anchorMilliamps, spreadMilliamps } = before;
  const elapsedMs = Math.min(atMs - before.atMs, MOST_GAP_MS);
  const knownMs = anchorMilliamps === null ? before.seenMs : SLOWEST_TIME_CONSTANT_MS;
  const share = elapsedMs / (elapsedMs + Math.min(knownMs, SLOWEST_TIME_CONSTANT_MS));
  const clip = Math.max(CLIP_SPREADS * spreadMilliamps, LEAST_CLIP_MILLIAMPS);
  const deviation = unexplained(before, milliamps, amps);
  const most = knownMs < UNCLIPPED_MS ? Infinity : clip;
  const spread = Math.min(Math.abs(deviation), 2 * most);
  const next = {
    ...before,
    atMs,
    spreadMilliamps: rounded(spreadMilliamps + share * (spread - spreadMilliamps)),
  };
  if (anchorMilliamps !== null) {
    const step = share * Math.min(Math.max(deviation, -most), most);
    return { ...next, milliamps: rounded(creptTo(before, anchorMilliamps, step)) };
  }
  // The level and its load are means over the same readings.
  const part = share * (Math.abs(deviation) > most ? most / Math.abs(deviation) : 1);
  const level = rounded(before.milliamps + part * (milliamps - before.milliamps));
  const loadAmps = hundredths(before.amps + part * (amps - before.amps));
  const seenMs = before.seenMs + elapsedMs;
  const isLearned =
    seenMs >= SEEN_TO_LEARN_MS ||
    (seenMs >= LEAST_SEEN_MS && atMs - before.firstAtMs >= LEAST_SPAN_MS);
  return {
    ...next,
    milliamps: level,
    amps: loadAmps,
    firstAtMs: isLearned ? 0 : before.firstAtMs,
    seenMs: isLearned ? 0 : seenMs,
    anchorMilliamps: isLearned ? level : null,
  };
}

/** Where a learned level moves to: it falls as it is seen, and hardly rises. */
function creptTo({ milliamps }: BandLevel, anchorMilliamps: number, step: number): number {
  if (step <= 0) return milliamps + step;
  const highest = MOST_RISE_RATIO * anchorMilliamps + MOST_RISE_MILLIAMPS;
  return Math.min(milliamps + RISE_SHARE * step, Math.max(highest, milliamps));
}

/** With so much more under each running load, mA/A by stage: an error of the sensor that is new. */
export function withErrors(
  { stages }: LeakageBaselineSlice,
  milliampsPerAmp: readonly number[],
): LeakageBaselineSlice {
  return {
    stages: stages.map((bands, stage) => {
      const perAmp = stage === 0 ? 0 : (milliampsPerAmp[stage] ?? 0);
      return bands?.map((level) => (level === null ? null : raised(level, perAmp))) ?? null;
    }),
  };
}

function raised(level: BandLevel, perAmp: number): BandLevel {
  const { anchorMilliamps } = level;
  const more = perAmp * level.amps;
  return {
    ...level,
    milliamps: rounded(level.milliamps + more),
    anchorMilliamps: anchorMilliamps === null ? null : rounded(anchorMilliamps + more),
  };
}

/** To the nanoampere: more digits than that only take room in the saved state. */
function rounded(milliamps: number): number {
  return Math.round(milliamps * 1e6) / 1e6;
}
