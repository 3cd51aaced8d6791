import { hundredths } from '../detectors/kept-digits.ts';
import { LOAD_STAGES, withStage } from '../detectors/load-stage.ts';
import {
  type FieldGuards,
  isBoolean,
  isListOf,
  isNullOr,
  isNumber,
  isNumberOrNull,
} from '../field-guards.ts';
import { type BeforeRepair, comparedMilliamps, isBeforeRepair } from './before-repair.ts';
import { DAY_SCATTER_START, type DayScatter, isDayScatter, nextScatter } from './day-scatter.ts';
import {
  type DrySteadiness,
  type DryStep,
  isDrySteadiness,
  stepDrySteadiness,
} from './dry-step.ts';
import { leakageAt } from './humidity-curve.ts';
import { dryGrowth, wetGrowth } from './leakage-growth.ts';
import {
  isStageResponse,
  nextStageResponse,
  type StageResponse,
  shiftedStage,
} from './load-response.ts';
import {
  areBins,
  binOf,
  floorOf,
  isAnotherVisit,
  isKnown,
  NO_BINS,
  nextBin,
  pointsOfBins,
  type ResponseBin,
  shiftedBins,
} from './response-bins.ts';
import { type UnitCurve, unitCurve } from './unit-curve.ts';
import { atCelsius, isWarmth, nextWarmth, type Warmth } from './warmth.ts';
import {
  DRY_DAY_PERCENT,
  isWeek,
  MOST_WEEKS,
  WEEK_MS,
  WET_DAY_PERCENT,
  type WeekSeen,
} from './weekly-course.ts';
import { isWetPeaks, nextWetPeaks, type WetPeaks } from './wet-peaks.ts';

/**
 * How the unit's leakage answers the humidity of the film, as it is now, fault or not: what the
 * next wet day will find. Raises nothing.
 *
 * Uses: `leakr` where the node sends it, else `leak`; `leakmax` and `bursts`; the film's humidity,
 * the compartment's temperature, the stage of load and its amps. Learned from one reading in five
 * minutes, apart at rest and for each running stage. Each level remembers its last five hours, so
 * that it follows a growing track, and forgets by use: a season without weather leaves it.
 */
export interface LeakageResponseSlice {
  /** When it was last learned from, ms. */
  readonly atMs: number | null;
  /** True while the node sends the resistive part, which then is what is learned. */
  readonly resistive: boolean;
  readonly rest: readonly (ResponseBin | null)[];
  /** Running stages, the smallest load first. */
  readonly stages: readonly (StageResponse | null)[];
  readonly scatter: DayScatter;
  readonly warmth: Warmth | null;
  readonly steady: DrySteadiness | null;
  readonly peaks: WetPeaks | null;
  /** The week (of 7 days since 1970) that goes on, and its wettest film, %RH. */
  readonly week: number | null;
  readonly wettestPercent: number;
  /** The weeks before, oldest first. */
  readonly weeks: readonly WeekSeen[];
  /** What it was before the last repair. */
  readonly repaired: BeforeRepair | null;
}

/** One instant as the response learns from it. */
export interface ResponseReading {
  /** All of the leakage, and its resistive part where the node sends it, mA. */
  readonly milliamps: number;
  readonly resistiveMilliamps: number | null;
  readonly peakMilliamps: number | null;
  readonly bursts: number | null;
  /** 0 at rest, 1 and up while running. */
  readonly stage: number;
  readonly largestAmps: number;
  readonly filmPercent: number;
  /** null: not known, and temperature is not learned from. */
  readonly celsius: number | null;
}

const HOUR_MS = 3_600_000;
const LEARN_EVERY_MS = 300_000;
/** Without the resistive part for so long, the node no longer sends it. */
const RESISTIVE_GONE_MS: number = 24 * HOUR_MS;
/** Dry film, %RH: temperature and steps show here without the weather. */
const DRY_FILM_PERCENT = 65;
/** Leakage of dry days is compared over the weeks at this temperature. */
const COMPARED_CELSIUS = 20;
/** Records of one visit come within this. */
const SAME_VISIT_MS: number = 48 * HOUR_MS;

export const LEAKAGE_RESPONSE_START: LeakageResponseSlice = {
  atMs: null,
  resistive: false,
  rest: NO_BINS,
  stages: new Array<null>(LOAD_STAGES - 1).fill(null),
  scatter: DAY_SCATTER_START,
  warmth: null,
  steady: null,
  peaks: null,
  week: null,
  wettestPercent: 0,
  weeks: [],
  repaired: null,
};

export const LEAKAGE_RESPONSE_FIELDS: FieldGuards<LeakageResponseSlice> = {
  atMs: isNumberOrNull,
  resistive: isBoolean,
  rest: areBins,
  stages: (value) =>
    Array.isArray(value) &&
    value.length === LOAD_STAGES - 1 &&
    isListOf(isStageResponse, LOAD_STAGES - 1)(value),
  scatter: isDayScatter,
  warmth: isWarmth,
  steady: isDrySteadiness,
  peaks: isWetPeaks,
  week: isNumberOrNull,
  wettestPercent: isNumber,
  weeks: isListOf(isWeek, MOST_WEEKS),
  repaired: isNullOr(isBeforeRepair),
};

/** Whether a reading of now would be learned from. */
export function responseIsDue({ atMs }: LeakageResponseSlice, nowMs: number): boolean {
  return atMs === null || nowMs - atMs >= LEARN_EVERY_MS;
}

/** To be called for settled, credible leakage under a film of known humidity, door closed. */
export function stepLeakageResponse(
  before: LeakageResponseSlice,
  atMs: number,
  reading: ResponseReading,
): LeakageResponseSlice {
  const slice = onSameBasis(before, atMs, reading.resistiveMilliamps !== null);
  if (slice === null) return before;
  const milliamps = reading.resistiveMilliamps ?? reading.milliamps;
  const { filmPercent, stage } = reading;
  const turned = withWeek(slice, Math.floor(atMs / WEEK_MS), Math.round(filmPercent));
  const common = { ...turned, atMs, peaks: nextWetPeaks(turned.peaks, reading) };
  if (stage === 0) return atRest(common, atMs, milliamps, reading);
  const running = common.stages[stage - 1] ?? null;
  const next = nextStageResponse(running, milliamps, reading.largestAmps, filmPercent);
  return { ...common, stages: withStage(common.stages, stage - 1, next) };
}

/** null: this reading lacks the part that is learned from. Another part is learned anew. */
function onSameBasis(
  slice: LeakageResponseSlice,
  atMs: number,
  resistive: boolean,
): LeakageResponseSlice | null {
  if (resistive === slice.resistive) return slice;
  if (!resistive && slice.atMs !== null && atMs - slice.atMs < RESISTIVE_GONE_MS) return null;
  const { repaired } = slice;
  return { ...LEAKAGE_RESPONSE_START, resistive, repaired };
}

function atRest(
  slice: LeakageResponseSlice,
  atMs: number,
  milliamps: number,
  { filmPercent, celsius }: ResponseReading,
): LeakageResponseSlice {
  const index = binOf(filmPercent);
  const hour = Math.floor(atMs / HOUR_MS);
  const isDry = filmPercent < DRY_FILM_PERCENT;
  const bin = slice.rest[index] ?? null;
  if (!isKnown(bin)) {
    const rest = withStage(slice.rest, index, nextBin(bin, milliamps, filmPercent, hour));
    return isDry ? { ...slice, rest } : { ...slice, rest, steady: null };
  }
  const [level] = bin;
  const step: DryStep = isDry
    ? stepDrySteadiness(slice.steady, atMs, milliamps, index, bin)
    : { steady: null, waits: false, shiftMilliamps: 0 };
  if (step.waits) return { ...slice, steady: step.steady };
  const moved = step.shiftMilliamps === 0 ? slice : relevelled(slice, step.shiftMilliamps);
  const next = nextBin(moved.rest[index] ?? null, milliamps, filmPercent, hour);
  const told = step.shiftMilliamps === 0 && isAnotherVisit(bin, hour);
  return {
    ...moved,
    steady: step.steady,
    rest: withStage(moved.rest, index, next),
    scatter: told
      ? nextScatter(moved.scatter, filmPercent, level, milliamps, floorOf(slice.rest))
      : moved.scatter,
    warmth:
      isDry && celsius !== null && step.shiftMilliamps === 0
        ? nextWarmth(moved.warmth, celsius, milliamps - level)
        : moved.warmth,
  };
}

/** The sensor reads another level than before: all that was learned with it does, too. */
function relevelled(slice: LeakageResponseSlice, shiftMilliamps: number): LeakageResponseSlice {
  const shifted = (milliamps: number | null): number | null =>
    milliamps === null ? null : hundredths(Math.max(milliamps + shiftMilliamps, 0));
  const weeks = slice.weeks.map(
    ([week, dry, wet, wettest]) => [week, shifted(dry), shifted(wet), wettest] as const,
  );
  const stages = slice.stages.map((stage) => shiftedStage(stage, shiftMilliamps));
  return { ...slice, weeks, stages, rest: shiftedBins(slice.rest, shiftMilliamps) };
}

/** A repair of what leaks: the response is learned anew, and what it was is kept to compare. */
export function repairLeakageResponse(
  slice: LeakageResponseSlice,
  atMs: number,
): LeakageResponseSlice {
  const { resistive, repaired } = slice;
  const { points } = responseCurve(slice);
  const milliamps = comparedMilliamps(points);
  const isSameVisit = repaired !== null && atMs - repaired.atMs < SAME_VISIT_MS;
  // A second record of the same visit must not replace what was with nothing.
  if (isSameVisit || milliamps.every((each) => each === null)) {
    return { ...LEAKAGE_RESPONSE_START, resistive, repaired };
  }
  return {
    ...LEAKAGE_RESPONSE_START,
    resistive,
    repaired: {
      atMs,
      milliamps,
      dryGrowth: dryGrowth(slice.weeks)?.milliampsPerWeek ?? null,
      wetGrowth: wetGrowth(slice.weeks)?.milliampsPerWeek ?? null,
      wettestSincePercent: 0,
    },
  };
}

/** The unit's leakage against humidity as of the newest reading that was learned from. */
export function responseCurve({ rest, stages, scatter, atMs }: LeakageResponseSlice): UnitCurve {
  const hour = Math.floor((atMs ?? 0) / HOUR_MS);
  return unitCurve(pointsOfBins(rest, scatter, hour), stages, scatter);
}

function withWeek(
  slice: LeakageResponseSlice,
  week: number,
  filmPercent: number,
): LeakageResponseSlice {
  const { wettestPercent, repaired, weeks } = slice;
  const isSame = slice.week === week;
  const isWetter = repaired !== null && filmPercent > repaired.wettestSincePercent;
  const wettest = isSame ? Math.max(wettestPercent, filmPercent) : filmPercent;
  if (isSame && wettest === wettestPercent && !isWetter) return slice;
  return {
    ...slice,
    week,
    wettestPercent: wettest,
    weeks:
      slice.week === null || isSame
        ? weeks
        : [...weeks.slice(1 - MOST_WEEKS), weekSeen(slice, slice.week)],
    repaired: isWetter ? { ...repaired, wettestSincePercent: filmPercent } : repaired,
  };
}

function weekSeen(slice: LeakageResponseSlice, week: number): WeekSeen {
  const { points } = responseCurve(slice);
  const dry = leakageAt(points, DRY_DAY_PERCENT)?.milliamps ?? null;
  const wet = leakageAt(points, WET_DAY_PERCENT)?.milliamps ?? null;
  const compared = dry === null ? null : atCelsius(dry, slice.warmth, COMPARED_CELSIUS);
  return [week, compared === null ? null : hundredths(compared), wet, slice.wettestPercent];
}
