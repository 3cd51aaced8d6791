import type { HealthyLevel } from './leakage-baseline.ts';
import { stageTopAmps } from './load-stage.ts';
import type { OperatingSlice } from './operating-state.ts';
import type { DetectorParameters } from './parameters.ts';

/** What is known of a load before anything is learned of it. */
export interface SeenBefore {
  /** `leastSeenMilliamps` of its stage. */
  readonly leastMilliamps: number | null;
  /** `seenMilliampsPerAmp` of its other loads: an error goes with the amps. */
  readonly milliampsPerAmp: number;
  /**
   * For how long the excess has been there, ms, where that is since the unit's very first reading;
   * else null.
   */
  readonly sinceTheFirstMs: number | null;
}

/** The limits that leakage is held against at this moment, in mA. */
export interface LeakageLimits {
  /** null until what is healthy here is learned, and on a drive. */
  readonly routineMilliamps: number | null;
  readonly urgentMilliamps: number;
  readonly emergencyMilliamps: number;
  /** A finding goes on at this level and above. */
  readonly closingMilliamps: number;
  readonly baselineMilliamps: number | null;
  /**
   * What the sensor may err by here, mA; not for a step under steady load. Emergency comes on top of
   * it, urgent is no less than what it and a healthy unit read together.
   */
  readonly loadErrorMilliamps: number;
}

/**
 * Routine: this many times the baseline, and so much above it (`leakageRoutineMilliamps`). What
 * is above the 3 mA of a healthy unit is a filter's or the sensor's error: no reason for more.
 */
const ROUTINE_RATIO = 3;
/** Or beyond what the unit's leakage scatters by, whichever is more. */
const ROUTINE_SPREADS = 6;
/** Healthy units leak 0.3 to 3 mA; twice that leaves room. Common practice, no source. */
export const HEALTHY_WITH_ROOM_MILLIAMPS = 6;
/** Split-core sensors err by up to 0.1 % of the load current; common practice, no source. */
export const LOAD_ERROR_MILLIAMPS_PER_AMP = 1;
/** And twice that where a second error was proven on top: nothing else is learned so high. */
const LEARNED_ERROR_MILLIAMPS_PER_AMP: number = 2 * LOAD_ERROR_MILLIAMPS_PER_AMP;
/** Error and healthy leakage add as phasors: what goes with the amps does so roughly. */
const OTHERS_MARGIN = 1.5;
/** Of the most that split-core sensors err by; common practice, no source. */
const USUAL_ERROR_SHARE = 0.5;
/** For a start, with what healthy units leak: most sensors err by less. Common practice, no source. */
const FIRST_ERROR_SHARE = 0.8;
/** Most units have cycled by then, and what goes with less load is the load's or the sensor's. */
const FIRST_LOAD_MS: number = 30 * 60_000;
const NEVER_LESS_LOAD_MS: number = 6 * 3_600_000;
/** The limits of a drive are ten times those of other units, which hold above what is learned. */
const DRIVE_LIMIT_SHARE = 0.1;
/** At rest a filter's offset moves with the line voltage only. */
const DRIVE_REST_SHARE = 0.1;
/** Closes below this share of the way from the baseline to the lowest limit. */
const CLOSING_SHARE = 0.8;

/**
 * Absolute limits until it is learned what is healthy at this load and humidity. Under a load that
 * has not been watched yet the sensor's error may come on top of them. What has been there since
 * the unit's very first reading is excused by what most sensors err by for half an hour, in which
 * most loads go off once; then by the middle of it: its installer is there to look at a sensor
 * that sits that badly. What was never seen under less load in six hours is no longer excused at
 * all: nothing will tell them apart. Once learned, routine is
 * 3 mA and three times above it. The urgent limit, 10 mA above the baseline in the trade's table,
 * stays where it is while the baseline is within the 3 mA that healthy units leak, and rises with
 * what is more: never later than a plain unit without a baseline would raise, and not deaf on one
 * with a filter.
 *
 * A baseline above the healthy range lifts limits only where health explains it: on a drive, on
 * supplies whose healthy residual is not zero, and under load as far as a split-core sensor errs.
 * Otherwise it may be a fault that was there first. Drives: `driveLimits`.
 */
export function leakageLimits(
  baseline: HealthyLevel | null,
  operating: OperatingSlice,
  seen: SeenBefore,
  parameters: DetectorParameters,
): LeakageLimits {
  const { leakageRoutineMilliamps, leakageUrgentMilliamps, leakageEmergencyMilliamps } =
    parameters.limits;
  if (baseline === null) {
    return {
      routineMilliamps: null,
      urgentMilliamps: leakageUrgentMilliamps,
      emergencyMilliamps: leakageEmergencyMilliamps,
      closingMilliamps: CLOSING_SHARE * leakageUrgentMilliamps,
      baselineMilliamps: null,
      loadErrorMilliamps: errorBeforeLearning(operating, seen, parameters),
    };
  }
  if (parameters.drive) return driveLimits(baseline, operating, parameters);
  const { milliamps, spreadMilliamps, driestMilliamps } = baseline;
  // It was learned at any load of this stage, of which the present one may be the smallest.
  const loadErrorMilliamps =
    operating.state === 'running'
      ? LEARNED_ERROR_MILLIAMPS_PER_AMP * stageTopAmps(operating.largestAmps, parameters)
      : 0;
  const explained =
    !parameters.solidWye || milliamps <= leakageRoutineMilliamps + loadErrorMilliamps;
  const lift = explained ? Math.max(milliamps - leakageRoutineMilliamps, 0) : 0;
  const urgentMilliamps = leakageUrgentMilliamps + lift;
  const above = Math.max(
    leakageRoutineMilliamps,
    (ROUTINE_RATIO - 1) * Math.min(driestMilliamps, leakageRoutineMilliamps),
    ROUTINE_SPREADS * spreadMilliamps,
  );
  const routine = milliamps + above;
  const routineMilliamps = routine >= urgentMilliamps ? null : routine;
  return {
    routineMilliamps,
    urgentMilliamps,
    emergencyMilliamps: leakageEmergencyMilliamps + lift,
    closingMilliamps:
      routineMilliamps === null
        ? CLOSING_SHARE * urgentMilliamps
        : milliamps + CLOSING_SHARE * above,
    baselineMilliamps: milliamps,
    loadErrorMilliamps: 0,
  };
}

/**
 * Beside a drive. Its filter leaks tens of mA in health, so absolute limits are high; at rest that
 * offset holds still, and above it a film is held against the limits of a unit without a drive.
 * While it runs the offset goes with the speed, which nothing here measures: as much again as it
 * was learned to be is still health. Never above the absolute limits, unless health is.
 */
function driveLimits(
  { milliamps, spreadMilliamps }: HealthyLevel,
  { state }: OperatingSlice,
  { limits }: DetectorParameters,
): LeakageLimits {
  const health = Math.max(
    ROUTINE_SPREADS * spreadMilliamps,
    state === 'idle' ? DRIVE_REST_SHARE * milliamps : milliamps,
  );
  const above = (driveMilliamps: number): number =>
    milliamps + Math.max(DRIVE_LIMIT_SHARE * driveMilliamps, health);
  const urgentMilliamps = Math.max(
    Math.min(above(limits.leakageUrgentMilliamps), limits.leakageUrgentMilliamps),
    milliamps + health,
  );
  const emergencyMilliamps = Math.max(
    Math.min(above(limits.leakageEmergencyMilliamps), limits.leakageEmergencyMilliamps),
    urgentMilliamps + health,
  );
  return {
    routineMilliamps: null,
    urgentMilliamps,
    emergencyMilliamps,
    closingMilliamps: milliamps + CLOSING_SHARE * (urgentMilliamps - milliamps),
    baselineMilliamps: milliamps,
    loadErrorMilliamps: 0,
  };
}

/** Limits where so much of what is read is known to be the sensor's error, mA. */
export function withLoadError(limits: LeakageLimits, errorMilliamps: number): LeakageLimits {
  if (errorMilliamps <= 0) return limits;
  const { routineMilliamps, baselineMilliamps } = limits;
  return {
    routineMilliamps: routineMilliamps === null ? null : routineMilliamps + errorMilliamps,
    urgentMilliamps: limits.urgentMilliamps + errorMilliamps,
    emergencyMilliamps: limits.emergencyMilliamps + errorMilliamps,
    closingMilliamps: limits.closingMilliamps + errorMilliamps,
    baselineMilliamps: baselineMilliamps === null ? null : baselineMilliamps + errorMilliamps,
    loadErrorMilliamps: limits.loadErrorMilliamps,
  };
}

/** What a unit that leaks no more than healthy ones was seen to read under this load. */
function errorBeforeLearning(
  { state, largestAmps }: OperatingSlice,
  { leastMilliamps, milliampsPerAmp, sinceTheFirstMs }: SeenBefore,
  { limits }: DetectorParameters,
): number {
  if (state !== 'running') return 0;
  const most = LOAD_ERROR_MILLIAMPS_PER_AMP * largestAmps;
  if (sinceTheFirstMs !== null) {
    if (sinceTheFirstMs >= NEVER_LESS_LOAD_MS) return 0;
    const usual = Math.max(USUAL_ERROR_SHARE * most - limits.leakageRoutineMilliamps, 0);
    // The urgent limit is no less than an error and what a healthy unit leaks beside it.
    const first = FIRST_ERROR_SHARE * most - HEALTHY_WITH_ROOM_MILLIAMPS;
    return sinceTheFirstMs < FIRST_LOAD_MS ? Math.max(first, usual) : usual;
  }
  if (leastMilliamps === null) return most;
  // The largest load of a stage is twice its smallest.
  const here = 2 * leastMilliamps - limits.leakageRoutineMilliamps;
  const byOthers = OTHERS_MARGIN * milliampsPerAmp * largestAmps;
  return Math.min(Math.max(here, byOthers, 0), most);
}
