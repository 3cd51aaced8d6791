import { type DetectorStep, NO_CHANGES } from './detectors/detector-step.ts';
import { filmBand, filmPercentAt } from './detectors/film-humidity.ts';
import {
  fellWithLoad,
  isCapacitive,
  type LeakageContext,
  stepLeakage,
  tellsHealth,
} from './detectors/leakage.ts';
import {
  type HealthyLevel,
  healthyLevelNearby,
  leastSeenMilliamps,
  seenMilliampsPerAmp,
  stepLeakageBaseline,
  withErrors,
} from './detectors/leakage-baseline.ts';
import { stepLeakageLevel } from './detectors/leakage-level.ts';
import { leakageLimits, type SeenBefore, withLoadError } from './detectors/leakage-limits.ts';
import { climbsSteeply, stepLeakageRise } from './detectors/leakage-rise.ts';
import { restExcessMilliamps, stepLeakageSide, whatRestSays } from './detectors/leakage-side.ts';
import { cameAtOnceMs } from './detectors/leakage-step.ts';
import {
  errorsPerAmp,
  isProven,
  LOAD_ERROR_START,
  loadErrorMilliamps,
  stepLoadError,
} from './detectors/load-error.ts';
import { loadStage } from './detectors/load-stage.ts';
import { mayStart } from './detectors/operating-state.ts';
import type { DetectorParameters } from './detectors/parameters.ts';
import { openedFuses } from './detectors/repeat-fuse.ts';
import { type Sample, withoutOffset } from './detectors/sample.ts';
import { hasJumped } from './detectors/sensor.ts';
import { compartmentIsWet } from './detectors/wetness.ts';
import type { LeakageEstimate } from './response/humidity-curve.ts';
import { wetDayBeyondLimit } from './response/leakage-outlook.ts';
import { responseIsDue, stepLeakageResponse } from './response/leakage-response.ts';
import type { WatchState } from './watch-state.ts';

/** Humidity that is older says nothing of the leakage of now. */
const HUMIDITY_STALE_MS = 1_800_000;

type LeakageSlices = Pick<
  WatchState,
  'level' | 'baseline' | 'side' | 'rise' | 'response' | 'leakage'
>;

/** The new slices of this instant that leakage is judged with. */
type Surroundings = Pick<WatchState, 'operating' | 'wetness' | 'film' | 'sensor'>;

/** Under what a value of leakage was read. */
interface Conditions {
  readonly stage: number;
  readonly band: number | null;
  readonly filmPercent: number | null;
  /** What is healthy there; null while that is not learned. */
  readonly healthy: HealthyLevel | null;
}

/** A settled reading of leakage that is believed, through all that reasons from it. */
export function judgeLeakage(
  state: WatchState,
  around: Surroundings,
  sent: Sample,
  parameters: DetectorParameters,
): DetectorStep<LeakageSlices> {
  const { operating, wetness, film, sensor } = around;
  const sample = withoutOffset(sent, sensor.drift.offsetMilliamps ?? 0);
  const { atMs, leakageMilliamps: milliamps } = sample;
  if (milliamps === null) return { slice: state, changes: NO_CHANGES };
  const { largestAmps } = operating;
  const conditions = conditionsOf(
    state,
    loadStage(operating, parameters),
    filmPercentAt(film, atMs),
    largestAmps,
  );
  const { stage, filmPercent, healthy } = conditions;
  const level = stepLeakageLevel(
    state.level,
    sample,
    operating,
    compartmentIsWet(wetness),
    filmPercent,
    healthy?.milliamps ?? null,
    parameters,
  );
  const rise = stepLeakageRise(state.rise, atMs, milliamps);
  const excessMilliamps = milliamps - (healthy?.milliamps ?? 0);
  const error = errorOf(state, conditions, atMs, largestAmps, excessMilliamps);
  const side = judgeSide(state.side, conditions, atMs, largestAmps, excessMilliamps, error);
  const seen = seenBefore(state, stage, healthy === null, atMs);
  const limits = withLoadError(leakageLimits(healthy, operating, seen, parameters), error);
  const climbing = limits.baselineMilliamps !== null && climbsSteeply(rise, limits);
  const context = contextOf(state, around, sample, parameters, {
    level,
    limits,
    rest: restWord(side, level, conditions, atMs, excessMilliamps),
    climbing,
    filmPercent,
    capacitive: isCapacitive(sample.leakageResistiveMilliamps, excessMilliamps),
  });
  const { slice: leakage, changes } = stepLeakage(
    state.leakage,
    atMs,
    milliamps,
    context,
    parameters,
  );
  const teaches = error <= 0 && tellsHealth(leakage, limits, operating);
  const baseline = teaches
    ? judgeBaseline(state, operating, sample.doorOpen, atMs, milliamps, conditions)
    : state.baseline;
  const response = judgeResponse(state.response, sample, milliamps, stage, around, filmPercent);
  const proven = isProven(side.loadError);
  return {
    slice: {
      level,
      // An error that is proven is health from then on, and what comes next is held against it.
      baseline: proven ? withErrors(baseline, errorsPerAmp(side.loadError, atMs)) : baseline,
      side: proven ? { idle: side.idle, loadError: LOAD_ERROR_START } : side,
      rise,
      response,
      leakage,
    },
    changes,
  };
}

function conditionsOf(
  { baseline }: WatchState,
  stage: number,
  filmPercent: number | null,
  largestAmps: number,
): Conditions {
  const band = filmPercent === null ? null : filmBand(filmPercent);
  const healthy = band === null ? null : healthyLevelNearby(baseline, stage, band, largestAmps);
  return { stage, band, filmPercent, healthy };
}

function errorOf(
  { side }: WatchState,
  { stage, healthy }: Conditions,
  atMs: number,
  amps: number,
  excessMilliamps: number,
): number {
  if (healthy === null || stage <= 0) return 0;
  const rest = restExcessMilliamps(side, atMs);
  return loadErrorMilliamps(side.loadError, rest, atMs, stage, amps, excessMilliamps);
}

function judgeSide(
  side: WatchState['side'],
  { stage, band, healthy }: Conditions,
  atMs: number,
  amps: number,
  excessMilliamps: number,
  error: number,
): WatchState['side'] {
  if (band !== null && stage === 0) return stepLeakageSide(side, atMs, excessMilliamps, band);
  if (healthy === null || stage <= 0) return side;
  const loadError = stepLoadError(side.loadError, atMs, stage, amps, excessMilliamps, error);
  return { idle: side.idle, loadError };
}

function restWord(
  side: WatchState['side'],
  { step }: WatchState['level'],
  { band, healthy }: Conditions,
  atMs: number,
  excessMilliamps: number,
): LeakageContext['rest'] {
  if (band === null || healthy === null) return 'unseen';
  return whatRestSays(side, atMs, excessMilliamps, band, cameAtOnceMs(step, excessMilliamps));
}

/** What of the context follows from the reading itself. */
type Judged = Pick<
  LeakageContext,
  'level' | 'limits' | 'rest' | 'climbing' | 'filmPercent' | 'capacitive'
>;

/** Field by field: spreading an object is several times slower, and this runs for each reading. */
function contextOf(
  state: WatchState,
  { operating, wetness, sensor }: Surroundings,
  { atMs, doorOpen }: Sample,
  parameters: DetectorParameters,
  { level, limits, rest, climbing, filmPercent, capacitive }: Judged,
): LeakageContext {
  return {
    level,
    limits,
    rest,
    climbing,
    filmPercent,
    capacitive,
    operating,
    wet: compartmentIsWet(wetness),
    fuses: openedFuses(state.repeatFuse),
    doorOpen,
    humidityPercent: humidityNow(wetness, atMs),
    addsAsNumber: hasJumped(sensor),
    frozen: (wetness.celsius ?? 1) <= 0,
    wetDay: wetDayToCome(state, parameters),
  };
}

function seenBefore(
  { baseline, leakage }: WatchState,
  stage: number,
  unlearned: boolean,
  atMs: number,
): SeenBefore {
  const { firstAtMs, onsetMs } = leakage;
  const sinceTheFirst = firstAtMs !== null && onsetMs === firstAtMs && !fellWithLoad(leakage);
  return {
    leastMilliamps: unlearned ? leastSeenMilliamps(baseline, stage) : null,
    milliampsPerAmp: unlearned ? seenMilliampsPerAmp(baseline, stage) : 0,
    sinceTheFirstMs: sinceTheFirst ? atMs - firstAtMs : null,
  };
}

function humidityNow(
  { atMs, humidityPercent }: WatchState['wetness'],
  nowMs: number,
): number | null {
  return atMs !== null && nowMs - atMs <= HUMIDITY_STALE_MS ? humidityPercent : null;
}

/** Not with the door open, nor while a load may still be starting: sensors err more then. */
function judgeBaseline(
  { baseline, operating: before }: WatchState,
  operating: WatchState['operating'],
  doorOpen: boolean,
  atMs: number,
  milliamps: number,
  { stage, band }: Conditions,
): WatchState['baseline'] {
  if (doorOpen || stage < 0 || band === null || mayStart(operating, before)) return baseline;
  return stepLeakageBaseline(baseline, atMs, milliamps, stage, band, operating.largestAmps);
}

/** Asked for only where it could change something: it costs more than all the rest. */
function wetDayToCome(
  { leakage, response }: WatchState,
  parameters: DetectorParameters,
): LeakageEstimate | null {
  return leakage.standing === 'routine' ? wetDayBeyondLimit(response, parameters) : null;
}

function judgeResponse(
  slice: WatchState['response'],
  sample: Sample,
  milliamps: number,
  stage: number,
  { operating, wetness }: Surroundings,
  filmPercent: number | null,
): WatchState['response'] {
  const { atMs, doorOpen } = sample;
  if (filmPercent === null || stage < 0 || doorOpen || !responseIsDue(slice, atMs)) return slice;
  return stepLeakageResponse(slice, atMs, {
    milliamps,
    resistiveMilliamps: sample.leakageResistiveMilliamps,
    peakMilliamps: sample.leakagePeakMilliamps,
    bursts: sample.leakageBursts,
    stage,
    largestAmps: operating.largestAmps,
    filmPercent,
    celsius: wetness.celsius,
  });
}
