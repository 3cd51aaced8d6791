import { type FieldGuards, hasShape, isBoolean, isNumberOrNull } from '../field-guards.ts';
import { thousandths } from './kept-digits.ts';
import {
  LEAKAGE_STEP_FIELDS,
  LEAKAGE_STEP_START,
  type LeakageStepSlice,
  steadyOffsetMilliamps,
  stepLeakageStep,
} from './leakage-step.ts';
import type { OperatingSlice } from './operating-state.ts';
import type { DetectorParameters } from './parameters.ts';
import type { Sample } from './sample.ts';
import { smoothed } from './smoothing.ts';

/**
 * How much leaks, in which operating state, and how it moved: what the leakage, supply-loss and
 * moisture detectors reason from. Raises nothing.
 *
 * Uses: `leak`, `leakmax`, the operating state, whether the compartment is wet.
 */
export interface LeakageLevelSlice {
  /** Event time and value of the newest judged leakage. */
  readonly atMs: number | null;
  readonly milliamps: number | null;
  /** Newest level with contactors open and with contactors pulled in, and when. */
  readonly idleMilliamps: number | null;
  readonly idleAtMs: number | null;
  readonly runningMilliamps: number | null;
  readonly runningAtMs: number | null;
  /** Level over about half an hour: tells a rise. */
  readonly halfHourMilliamps: number | null;
  /** Level over about a quarter of a day: what was normal before a surge. */
  readonly earlierMilliamps: number | null;
  /** Levels while the compartment was dry: they hold still during a wetting. */
  readonly dryIdleMilliamps: number | null;
  readonly dryRunningMilliamps: number | null;
  /** The load that `dryRunningMilliamps` belongs to: another stage leaks otherwise. */
  readonly dryRunningAmps: number | null;
  /** What came at once and holds still. */
  readonly step: LeakageStepSlice;
  /**
   * The newest leakage above what is healthy, less what came at once and holds still, which no
   * film does; null while health is not learned.
   */
  readonly excessMilliamps: number | null;
  readonly surgeAtMs: number | null;
  readonly surgeMilliamps: number | null;
  /** True while the newest reading is part of a surge. */
  readonly surging: boolean;
}

const LEVEL_TIME_CONSTANT_MS = 300_000;
const HALF_HOUR_MS = 1_800_000;
const EARLIER_TIME_CONSTANT_MS = 21_600_000;
const DRY_TIME_CONSTANT_MS = 7_200_000;
const SAME_LOAD_SHARE = 0.25;
/**
 * Ten times what it was before is a surge, when it is also more than a healthy unit leaks. What
 * this unit is known to leak under this load is none: a filter, a drive, a sensor's load error.
 */
const SURGE_RATIO = 10;
const SURGE_LEAST_MILLIAMPS = 3;

/** Between two readings at the slower cadence a load may have come on. */
const START_WITHIN_MS = 150_000;

export const LEAKAGE_LEVEL_START: LeakageLevelSlice = {
  atMs: null,
  milliamps: null,
  idleMilliamps: null,
  idleAtMs: null,
  runningMilliamps: null,
  runningAtMs: null,
  halfHourMilliamps: null,
  earlierMilliamps: null,
  dryIdleMilliamps: null,
  dryRunningMilliamps: null,
  dryRunningAmps: null,
  step: LEAKAGE_STEP_START,
  excessMilliamps: null,
  surgeAtMs: null,
  surgeMilliamps: null,
  surging: false,
};

export const LEAKAGE_LEVEL_FIELDS: FieldGuards<LeakageLevelSlice> = {
  atMs: isNumberOrNull,
  milliamps: isNumberOrNull,
  idleMilliamps: isNumberOrNull,
  idleAtMs: isNumberOrNull,
  runningMilliamps: isNumberOrNull,
  runningAtMs: isNumberOrNull,
  halfHourMilliamps: isNumberOrNull,
  earlierMilliamps: isNumberOrNull,
  dryIdleMilliamps: isNumberOrNull,
  dryRunningMilliamps: isNumberOrNull,
  dryRunningAmps: isNumberOrNull,
  step: hasShape(LEAKAGE_STEP_FIELDS),
  excessMilliamps: isNumberOrNull,
  surgeAtMs: isNumberOrNull,
  surgeMilliamps: isNumberOrNull,
  surging: isBoolean,
};

/** Takes settled readings only: the caller leaves out those within five seconds of a start. */
export function stepLeakageLevel(
  slice: LeakageLevelSlice,
  sample: Sample,
  operating: OperatingSlice,
  compartmentWet: boolean,
  filmPercent: number | null,
  healthyMilliamps: number | null,
  parameters: DetectorParameters,
): LeakageLevelSlice {
  const { leakageMilliamps: milliamps, atMs } = sample;
  if (milliamps === null) return slice;
  const elapsedMs = slice.atMs === null ? 0 : atMs - slice.atMs;
  const { state } = operating;
  const idle = state === 'idle';
  const running = state === 'running';
  const peak = Math.max(milliamps, sample.leakagePeakMilliamps ?? 0);
  const earlier = slice.earlierMilliamps;
  const beyond = peak - (healthyMilliamps ?? 0);
  // A stage that comes on under a sensor's load error leaks ten times what the unit does at rest.
  const usual = Math.max(earlier ?? 0, running ? (slice.runningMilliamps ?? 0) : 0);
  const surging =
    beyond > parameters.limits.leakageUrgentMilliamps ||
    (earlier !== null && beyond >= SURGE_LEAST_MILLIAMPS && peak >= SURGE_RATIO * usual);
  const energised = state !== 'dead';
  const forgets = energised && !surging && wasInrush(slice, operating);
  const excess = healthyMilliamps === null ? null : milliamps - healthyMilliamps;
  const step = sample.doorOpen
    ? slice.step
    : stepLeakageStep(slice.step, atMs, milliamps, healthyMilliamps, operating, filmPercent);
  return {
    atMs,
    milliamps,
    idleMilliamps: idle
      ? levelOf(slice.idleMilliamps, milliamps, atMs, slice.idleAtMs)
      : slice.idleMilliamps,
    idleAtMs: idle ? atMs : slice.idleAtMs,
    runningMilliamps: running
      ? levelOf(slice.runningMilliamps, milliamps, atMs, slice.runningAtMs)
      : slice.runningMilliamps,
    runningAtMs: running ? atMs : slice.runningAtMs,
    halfHourMilliamps: smoothed(slice.halfHourMilliamps, milliamps, elapsedMs, HALF_HOUR_MS),
    earlierMilliamps:
      energised && !surging
        ? smoothed(earlier, milliamps, elapsedMs, EARLIER_TIME_CONSTANT_MS)
        : earlier,
    dryIdleMilliamps:
      idle && !compartmentWet
        ? smoothed(slice.dryIdleMilliamps, milliamps, elapsedMs, DRY_TIME_CONSTANT_MS)
        : slice.dryIdleMilliamps,
    dryRunningMilliamps:
      running && !compartmentWet
        ? smoothed(
            isSameLoad(slice, operating) ? slice.dryRunningMilliamps : null,
            milliamps,
            elapsedMs,
            DRY_TIME_CONSTANT_MS,
          )
        : slice.dryRunningMilliamps,
    dryRunningAmps: running && !compartmentWet ? operating.largestAmps : slice.dryRunningAmps,
    step,
    excessMilliamps: excess === null ? null : thousandths(excess - steadyOffsetMilliamps(step)),
    surgeAtMs: surging ? atMs : forgets ? null : slice.surgeAtMs,
    surgeMilliamps: surging ? peak : forgets ? null : slice.surgeMilliamps,
    surging,
  };
}

/**
 * Whether the surge of the reading before was a start that the sensors err at, as it is over at the
 * next one, and the unit lives. A load that is grounded at its start leaves none alive.
 */
function wasInrush(
  { surging, surgeAtMs }: LeakageLevelSlice,
  { loadStepAfterMs }: OperatingSlice,
): boolean {
  if (!surging || surgeAtMs === null || loadStepAfterMs === null) return false;
  return surgeAtMs > loadStepAfterMs && surgeAtMs - loadStepAfterMs <= START_WITHIN_MS;
}

/** Whether the unit runs under the load that its dry level was taken under, within a quarter. */
export function isSameLoad(
  { dryRunningAmps }: LeakageLevelSlice,
  { largestAmps }: OperatingSlice,
): boolean {
  if (dryRunningAmps === null) return false;
  return Math.abs(largestAmps - dryRunningAmps) <= SAME_LOAD_SHARE * dryRunningAmps;
}

function levelOf(
  level: number | null,
  milliamps: number,
  atMs: number,
  levelAtMs: number | null,
): number {
  return smoothed(
    level,
    milliamps,
    levelAtMs === null ? 0 : atMs - levelAtMs,
    LEVEL_TIME_CONSTANT_MS,
  );
}
