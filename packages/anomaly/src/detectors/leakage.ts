import type { MarkName } from '../diagnosis/evidence-table.ts';
import { isDue, reconsider, toldBy } from '../diagnosis/reconsider.ts';
import { isHigher } from '../priority-order.ts';
import type { LeakageEstimate } from '../response/humidity-curve.ts';
import type { FindingChange, Priority } from '../vocabulary.ts';
import { type DetectorStep, NO_CHANGES } from './detector-step.ts';
import { type DwellMs, hasDwelt, nextDwell } from './dwell.ts';
import { thousandths } from './kept-digits.ts';
import { leakageFinding } from './leakage-finding.ts';
import type { LeakageLevelSlice } from './leakage-level.ts';
import { HEALTHY_WITH_ROOM_MILLIAMPS, type LeakageLimits } from './leakage-limits.ts';
import { hasLessLoad, hasRecovered, isRecent, returnsBy, stepBelow } from './leakage-recovery.ts';
import type { RestWord } from './leakage-side.ts';
import { type LeakageSlice, NO_EXCESS, NONE_OVER } from './leakage-slice.ts';
import { cameAtOnce } from './leakage-step.ts';
import type { OperatingSlice } from './operating-state.ts';
import type { DetectorParameters } from './parameters.ts';

/** Readings in a row over a limit. */
const LEAKAGE_READINGS_TO_RAISE = 2;
/** A start, a defrost and a damp heater that dries are over by then. Common practice, no source. */
const ROUTINE_HOLD_MS = 3_600_000;
/** The same for what came at once and holds still. */
const AT_ONCE_HOLD_MS: number = 3 * ROUTINE_HOLD_MS;
/** Wet dirt and charred plastic conduct: less of a leak than this is resistive in none. */
const RESISTIVE_SHARE = 0.2;
/** Load went off when current fell below this share of what it was. */
const LOAD_OFF_SHARE = 0.7;
/** Of a load: what ran with less is another one. */
const MORE_LOAD_SHARE = 0.8;
/** And leakage followed it when it fell to this share. */
const FELL_SHARE = 0.8;
/** A reading below this share of the limit was well below it. */
const STEPPED_FROM_SHARE = 0.6;

/** What else the detector needs to know of this instant. */
export interface LeakageContext {
  readonly level: LeakageLevelSlice;
  readonly limits: LeakageLimits;
  readonly operating: OperatingSlice;
  /** Whether a leak seen under load was there at rest. */
  readonly rest: RestWord;
  /** It climbs so that it would reach the emergency limit within the hour. */
  readonly climbing: boolean;
  readonly wet: boolean;
  /** Which fuses were last replaced without a root cause, as a mark. */
  readonly fuses: MarkName | null;
  readonly doorOpen: boolean;
  readonly humidityPercent: number | null;
  /** Humidity of the film, which leaks, %RH; null when not known now. */
  readonly filmPercent: number | null;
  /** The node sends the resistive component, and the excess has next to none. */
  readonly capacitive: boolean;
  /** What came at once adds the same number under every load, as an offset of the sensor does. */
  readonly addsAsNumber: boolean;
  /** The compartment is below 0 C: a frozen film does not conduct. */
  readonly frozen: boolean;
  /** What a wet day is expected to bring, where it is above the emergency limit; else null. */
  readonly wetDay: LeakageEstimate | null;
}

/**
 * Leakage to ground over the unit's limits: absolute ones, and above the baseline of the present
 * stage of load where that is learned (`leakage-limits.ts`).
 *
 * Uses: the leakage level, its baseline and rise, the operating state, humidity, `door`.
 * Urgent and emergency: two readings in a row over the limit, so that one wild value raises nothing
 * and a step raises within minutes; under a load that nothing is learned of yet the sensor's error
 * may come on top, unless the leakage stepped up under it. Emergency also for a steep rise within
 * the hour. What stands as routine is urgent once a wet day is expected to bring more than the
 * emergency limit.
 * Routine: an hour over the limit, not counting the pauses of a load that leaks, nor time with the
 * door open (somebody washes the coil), nor an excess that is all but purely capacitive where the
 * node tells: insulation that fails conducts, a filter or an offset of the sensor does not.
 * Ends by `leakage-recovery.ts`.
 *
 * To be called for settled instants that bring a leakage value.
 */
export function stepLeakage(
  slice: LeakageSlice,
  atMs: number,
  milliamps: number,
  context: LeakageContext,
  parameters: DetectorParameters,
): DetectorStep<LeakageSlice> {
  // Without voltage nothing leaks: that is neither an excess nor a recovery.
  if (context.operating.state === 'dead') {
    return { slice: { ...slice, ...NONE_OVER, atMs }, changes: NO_CHANGES };
  }
  const { limits, operating } = context;
  const overRoutineMs = nextOverRoutine(slice, atMs, milliamps, context);
  const excess = milliamps >= (limits.routineMilliamps ?? limits.urgentMilliamps);
  const judged = excess
    ? over(slice, atMs, milliamps, context)
    : under(slice, atMs, milliamps, context, overRoutineMs);
  const lastAmps = operating.state === 'unknown' ? null : operating.largestAmps;
  const seen = withReading(judged, atMs, thousandths(milliamps), lastAmps, overRoutineMs);
  const next = withLoadOff(seen, slice, atMs, milliamps, parameters);
  if (next.standing !== null && hasRecovered(next, atMs)) {
    const changes: readonly FindingChange[] = [{ change: 'closed', kind: 'leakage', atMs }];
    return {
      slice: { ...next, ...NO_EXCESS, overRoutineMs: null, closedAtMs: atMs },
      changes,
    };
  }
  const reached = reachedPriority(next, milliamps, context);
  if (reached === null || !isHigher(reached, next.standing)) {
    const { standing, told } = next;
    if (!excess || standing === null || !isDue(told, atMs)) {
      return { slice: next, changes: NO_CHANGES };
    }
    const anew = leakageFinding('escalated', standing, atMs, milliamps, next, context, parameters);
    const again = reconsider(told, anew);
    return { slice: { ...next, told: again.told }, changes: again.changes };
  }
  const change = next.standing === null ? 'opened' : 'escalated';
  const finding = leakageFinding(change, reached, atMs, milliamps, next, context, parameters);
  const raisedUnlearned =
    next.standing === null
      ? limits.baselineMilliamps === null && operating.state === 'running' && !next.overIdle
      : next.raisedUnlearned && !next.overIdle;
  const returns = next.standing === null ? returnsBy(next, atMs) : next.returns;
  const told = toldBy(finding);
  return {
    slice: { ...next, standing: reached, raisedUnlearned, returns, told },
    changes: [finding],
  };
}

/** After a repair of what leaks, a low reading in dry weather counts as a recovery again. */
export function repairLeakage(slice: LeakageSlice): LeakageSlice {
  const untouched = slice.wettestPercent === null && slice.returns === 0;
  return untouched ? slice : { ...slice, wettestPercent: null, closedAtMs: null, returns: 0 };
}

function nextOverRoutine(
  slice: LeakageSlice,
  atMs: number,
  milliamps: number,
  { limits, level, operating, doorOpen, capacitive }: LeakageContext,
): DwellMs {
  const { routineMilliamps } = limits;
  if (routineMilliamps === null || doorOpen) return slice.overRoutineMs;
  const isOver = milliamps >= routineMilliamps && !capacitive;
  if (!isOver && hasLessLoad(slice, operating)) return slice.overRoutineMs;
  const elapsedMs = atMs - (slice.atMs ?? atMs);
  const holdMs = routineHoldMs(milliamps, level, limits);
  return nextDwell(slice.overRoutineMs, isOver, elapsedMs, holdMs);
}

/** Whether next to nothing of an excess is resistive; false where that is not known. */
export function isCapacitive(resistiveMilliamps: number | null, excessMilliamps: number): boolean {
  return resistiveMilliamps !== null && resistiveMilliamps < RESISTIVE_SHARE * excessMilliamps;
}

/** What came at once and holds still is no film: it may have been switched on, and off soon. */
function routineHoldMs(
  milliamps: number,
  { step }: LeakageLevelSlice,
  { baselineMilliamps }: LeakageLimits,
): number {
  const atOnce = step.step !== null && cameAtOnce(step, milliamps - (baselineMilliamps ?? 0));
  return atOnce ? AT_ONCE_HOLD_MS : ROUTINE_HOLD_MS;
}

function reachedPriority(
  slice: LeakageSlice,
  milliamps: number,
  { climbing, level, limits, capacitive, wetDay }: LeakageContext,
): Priority | null {
  if (slice.overEmergencyReadings >= LEAKAGE_READINGS_TO_RAISE) return 'emergency';
  if (slice.overUrgentReadings >= LEAKAGE_READINGS_TO_RAISE) {
    return climbing ? 'emergency' : 'urgent';
  }
  const { routineMilliamps } = limits;
  if (wetDay !== null && slice.standing === 'routine') return 'urgent';
  if (slice.standing !== null || capacitive) return null;
  if (milliamps < (routineMilliamps ?? Infinity)) return null;
  const holdMs = routineHoldMs(milliamps, level, limits);
  return hasDwelt(slice.overRoutineMs, holdMs) ? 'routine' : null;
}

/** Field by field: spreading an object is several times slower, and this runs for each reading. */
function withReading(
  slice: LeakageSlice,
  atMs: number,
  lastMilliamps: number,
  lastAmps: number | null,
  overRoutineMs: DwellMs,
): LeakageSlice {
  return {
    overUrgentReadings: slice.overUrgentReadings,
    overEmergencyReadings: slice.overEmergencyReadings,
    overRoutineMs,
    onsetMs: slice.onsetMs,
    onsetAtStart: slice.onsetAtStart,
    onsetStepped: slice.onsetStepped,
    beforeMilliamps: slice.beforeMilliamps,
    onsetMilliamps: slice.onsetMilliamps,
    onsetAfterMs: slice.onsetAfterMs,
    overIdle: slice.overIdle,
    overRunning: slice.overRunning,
    overAmps: slice.overAmps,
    wettestPercent: slice.wettestPercent,
    closingMilliamps: slice.closingMilliamps,
    lowWithLessLoad: slice.lowWithLessLoad,
    belowMs: slice.belowMs,
    belowSinceMs: slice.belowSinceMs,
    standing: slice.standing,
    raisedUnlearned: slice.raisedUnlearned,
    told: slice.told,
    firstAtMs: slice.firstAtMs ?? atMs,
    closedAtMs: slice.closedAtMs,
    returns: slice.returns,
    atMs,
    lastMilliamps,
    lastAmps,
    loadOffAtMs: slice.loadOffAtMs,
    loadOffFromMilliamps: slice.loadOffFromMilliamps,
    loadOffToMilliamps: slice.loadOffToMilliamps,
  };
}

/** Remembers what leakage did when load went off: it tells the load's share from the line's. */
function withLoadOff(
  next: LeakageSlice,
  before: LeakageSlice,
  atMs: number,
  milliamps: number,
  parameters: DetectorParameters,
): LeakageSlice {
  const { lastAmps, lastMilliamps } = before;
  if (lastAmps === null || lastMilliamps === null || next.lastAmps === null) return next;
  const off = lastAmps >= parameters.runningAmps && next.lastAmps < LOAD_OFF_SHARE * lastAmps;
  if (!off) return next;
  return {
    ...next,
    loadOffAtMs: atMs,
    loadOffFromMilliamps: lastMilliamps,
    loadOffToMilliamps: milliamps,
  };
}

/** Whether it was lower with less load: what is on the line side stays. */
export function fellWithLoad(slice: LeakageSlice): boolean {
  const { lowWithLessLoad, loadOffAtMs, loadOffFromMilliamps, loadOffToMilliamps } = slice;
  const fell = loadOffAtMs !== null && loadOffToMilliamps <= FELL_SHARE * loadOffFromMilliamps;
  return lowWithLessLoad || fell;
}

/** One more reading in a row over a limit, or none. */
function inARow(readings: number, isOver: boolean): number {
  return isOver ? Math.min(readings + 1, LEAKAGE_READINGS_TO_RAISE) : 0;
}

function over(
  slice: LeakageSlice,
  atMs: number,
  milliamps: number,
  { operating, limits, filmPercent }: LeakageContext,
): LeakageSlice {
  const begins = slice.onsetMs === null;
  const running = operating.state === 'running';
  const { loadStepAfterMs } = operating;
  const withLoadStep =
    running && slice.atMs !== null && loadStepAfterMs !== null && loadStepAfterMs >= slice.atMs;
  const onsetStepped = begins
    ? !withLoadStep &&
      slice.lastMilliamps !== null &&
      slice.lastMilliamps < STEPPED_FROM_SHARE * limits.urgentMilliamps
    : slice.onsetStepped;
  const error = onsetStepped && !hasMoreLoad(slice, operating) ? 0 : limits.loadErrorMilliamps;
  // More than a healthy unit and the sensor's largest error together is urgent in any case.
  const urgentMilliamps = Math.max(limits.urgentMilliamps, error + HEALTHY_WITH_ROOM_MILLIAMPS);
  const emergencyMilliamps = limits.emergencyMilliamps + error;
  return {
    ...slice,
    overUrgentReadings: inARow(slice.overUrgentReadings, milliamps >= urgentMilliamps),
    overEmergencyReadings: inARow(slice.overEmergencyReadings, milliamps >= emergencyMilliamps),
    onsetStepped,
    onsetMs: slice.onsetMs ?? atMs,
    onsetAtStart: begins ? withLoadStep : slice.onsetAtStart,
    beforeMilliamps: begins ? slice.lastMilliamps : slice.beforeMilliamps,
    onsetMilliamps: begins ? milliamps : slice.onsetMilliamps,
    onsetAfterMs: begins && slice.atMs !== null ? atMs - slice.atMs : slice.onsetAfterMs,
    overIdle: slice.overIdle || operating.state === 'idle',
    overRunning: slice.overRunning || running,
    overAmps: running
      ? Math.min(slice.overAmps ?? operating.largestAmps, operating.largestAmps)
      : slice.overAmps,
    wettestPercent:
      filmPercent === null
        ? slice.wettestPercent
        : Math.max(slice.wettestPercent ?? filmPercent, filmPercent),
    closingMilliamps: Math.min(slice.closingMilliamps ?? Infinity, closingAbove(limits)),
    belowMs: null,
    belowSinceMs: null,
  };
}

/** True under a load beyond those that the excess was seen under: the sensor's error comes on top. */
function hasMoreLoad(
  { overIdle, overAmps }: LeakageSlice,
  { largestAmps }: OperatingSlice,
): boolean {
  return overIdle || (overAmps !== null && overAmps < MORE_LOAD_SHARE * largestAmps);
}

/**
 * Whether a reading tells what is healthy: there is no excess; or it is one that came with a load
 * and is within the sensor's error there, which is still to be learned.
 */
export function tellsHealth(
  slice: LeakageSlice,
  { baselineMilliamps }: LeakageLimits,
  { state }: OperatingSlice,
): boolean {
  if (slice.standing === null && slice.onsetMs === null) return true;
  if (state !== 'running' || slice.overIdle) return false;
  if (slice.raisedUnlearned) return true;
  const withinError = slice.standing === null && slice.overUrgentReadings === 0;
  return withinError && baselineMilliamps === null && !slice.onsetStepped;
}

function closingAbove({ closingMilliamps, baselineMilliamps }: LeakageLimits): number {
  return closingMilliamps - (baselineMilliamps ?? 0);
}

function under(
  slice: LeakageSlice,
  atMs: number,
  milliamps: number,
  context: LeakageContext,
  overRoutineMs: DwellMs,
): LeakageSlice {
  if (slice.standing === null && slice.onsetMs === null) return slice;
  // An excess under load, followed by a low reading with less load, is what points to the load;
  // any other low reading before the raise makes the excess a wild value that leaves no trace.
  const lessLoad = hasLessLoad(slice, context.operating);
  const keep =
    slice.standing !== null || overRoutineMs !== null || (isRecent(slice, atMs) && lessLoad);
  const below = stepBelow(slice, atMs, milliamps, context, keep);
  return { ...slice, ...(keep ? NONE_OVER : NO_EXCESS), ...below };
}
