import type { OperatingState } from '../condition.ts';
import { type FieldGuards, isBoolean, isNumber, isNumberOrNull, isOneOf } from '../field-guards.ts';
import { isHigher } from '../priority-order.ts';
import { type FindingChange, PRIORITIES, type Priority } from '../vocabulary.ts';
import { type DetectorStep, NO_CHANGES } from './detector-step.ts';
import { leakageFinding } from './leakage-finding.ts';
import type { LeakageLevelSlice } from './leakage-level.ts';
import type { OperatingSlice } from './operating-state.ts';
import type { DetectorParameters } from './parameters.ts';

/**
 * Leakage to ground over the unit's absolute limits.
 *
 * Uses: the leakage level, the operating state, wetness. No baseline is learned in this step, so
 * there is no routine priority: `limits.leakageUrgentMilliamps` and
 * `limits.leakageEmergencyMilliamps` alone decide. Two readings in a row over a limit raise, so
 * that one wild value raises nothing and a step raises within minutes.
 */
export interface LeakageSlice {
  readonly overUrgentReadings: number;
  readonly overEmergencyReadings: number;
  /** First reading of the present excess; null while below the limits. */
  readonly onsetMs: number | null;
  /** The excess was there with the first reading of a run, idle readings before it being low. */
  readonly onsetAtStart: boolean;
  /** Where the excess has been seen since its onset, and where it has not. */
  readonly overIdle: boolean;
  readonly overRunning: boolean;
  readonly lowIdle: boolean;
  /** Time spent below the closing level in the states in which the excess was seen. */
  readonly belowMs: number | null;
  /** Since when every reading, in whatever state, was below the closing level. */
  readonly belowSinceMs: number | null;
  readonly atMs: number | null;
  readonly lastState: OperatingState;
  readonly standing: Priority | null;
}

/** Readings in a row over a limit. */
export const LEAKAGE_READINGS_TO_RAISE = 2;
/** Closes below this share of the urgent limit ... */
export const LEAKAGE_CLOSING_SHARE = 0.8;
/** ... that lasts this long. */
export const LEAKAGE_CLOSING_MS = 1_800_000;
/** A leak seen only while running is not gone because the unit rests; after a day it closes. */
export const LEAKAGE_CLOSING_UNTESTED_MS = 86_400_000;
/** A gap between readings counts at most this much towards closing. */
const MOST_GAP_MS = 1_800_000;

export const LEAKAGE_START: LeakageSlice = {
  overUrgentReadings: 0,
  overEmergencyReadings: 0,
  onsetMs: null,
  onsetAtStart: false,
  overIdle: false,
  overRunning: false,
  lowIdle: false,
  belowMs: null,
  belowSinceMs: null,
  atMs: null,
  lastState: 'unknown',
  standing: null,
};

export const LEAKAGE_FIELDS: FieldGuards<LeakageSlice> = {
  overUrgentReadings: isNumber,
  overEmergencyReadings: isNumber,
  onsetMs: isNumberOrNull,
  onsetAtStart: isBoolean,
  overIdle: isBoolean,
  overRunning: isBoolean,
  lowIdle: isBoolean,
  belowMs: isNumberOrNull,
  belowSinceMs: isNumberOrNull,
  atMs: isNumberOrNull,
  lastState: isOneOf(['running', 'idle', 'dead', 'unknown']),
  standing: isOneOf([null, ...PRIORITIES]),
};

/** What else the detector needs to know of this instant. */
export interface LeakageContext {
  readonly level: LeakageLevelSlice;
  readonly operating: OperatingSlice;
  readonly wet: boolean;
  readonly humidityPercent: number | null;
}

/** To be called for settled instants that bring a leakage value. */
export function stepLeakage(
  slice: LeakageSlice,
  atMs: number,
  milliamps: number,
  context: LeakageContext,
  parameters: DetectorParameters,
): DetectorStep<LeakageSlice> {
  const { state } = context.operating;
  // Without voltage nothing leaks: that is neither an excess nor a recovery.
  if (state === 'dead') return { slice: resting(slice, atMs, state), changes: NO_CHANGES };
  const { leakageUrgentMilliamps, leakageEmergencyMilliamps } = parameters.limits;
  const next =
    milliamps > leakageUrgentMilliamps
      ? over(slice, atMs, state, milliamps > leakageEmergencyMilliamps)
      : under(slice, atMs, state, milliamps < LEAKAGE_CLOSING_SHARE * leakageUrgentMilliamps);
  const closed =
    next.standing !== null &&
    ((next.belowMs ?? 0) >= LEAKAGE_CLOSING_MS ||
      (next.belowSinceMs !== null && atMs - next.belowSinceMs >= LEAKAGE_CLOSING_UNTESTED_MS));
  if (closed) {
    const changes: readonly FindingChange[] = [{ change: 'closed', kind: 'leakage', atMs }];
    return { slice: { ...LEAKAGE_START, atMs, lastState: state }, changes };
  }
  const reached = reachedPriority(next);
  if (reached === null || !isHigher(reached, next.standing)) {
    return { slice: next, changes: NO_CHANGES };
  }
  const change = next.standing === null ? 'opened' : 'escalated';
  const finding = leakageFinding(change, reached, atMs, milliamps, next, context, parameters);
  return { slice: { ...next, standing: reached }, changes: [finding] };
}

function reachedPriority(slice: LeakageSlice): Priority | null {
  if (slice.overEmergencyReadings >= LEAKAGE_READINGS_TO_RAISE) return 'emergency';
  return slice.overUrgentReadings >= LEAKAGE_READINGS_TO_RAISE ? 'urgent' : null;
}

function resting(slice: LeakageSlice, atMs: number, state: OperatingState): LeakageSlice {
  return { ...slice, overUrgentReadings: 0, overEmergencyReadings: 0, atMs, lastState: state };
}

function over(
  slice: LeakageSlice,
  atMs: number,
  state: OperatingState,
  emergency: boolean,
): LeakageSlice {
  const begins = slice.onsetMs === null;
  return {
    overUrgentReadings: Math.min(slice.overUrgentReadings + 1, LEAKAGE_READINGS_TO_RAISE),
    overEmergencyReadings: emergency
      ? Math.min(slice.overEmergencyReadings + 1, LEAKAGE_READINGS_TO_RAISE)
      : 0,
    onsetMs: slice.onsetMs ?? atMs,
    onsetAtStart: begins ? state === 'running' && slice.lastState === 'idle' : slice.onsetAtStart,
    overIdle: slice.overIdle || state === 'idle',
    overRunning: slice.overRunning || state === 'running',
    lowIdle: slice.lowIdle,
    belowMs: null,
    belowSinceMs: null,
    atMs,
    lastState: state,
    standing: slice.standing,
  };
}

function under(
  slice: LeakageSlice,
  atMs: number,
  state: OperatingState,
  belowClosingLevel: boolean,
): LeakageSlice {
  // An excess while running, followed by a low reading at rest, is what points to the load; any
  // other low reading before the raise makes the excess a wild value that leaves no trace.
  const recent = slice.onsetMs !== null && atMs - slice.onsetMs < LEAKAGE_CLOSING_UNTESTED_MS;
  const keep = slice.standing !== null || (recent && slice.overRunning && state === 'idle');
  const sameStateAsExcess =
    (!slice.overIdle && !slice.overRunning) ||
    (state === 'idle' && slice.overIdle) ||
    (state === 'running' && slice.overRunning) ||
    state === 'unknown';
  const elapsedMs = Math.min(atMs - (slice.atMs ?? atMs), MOST_GAP_MS);
  let belowMs: number | null = null;
  if (belowClosingLevel) {
    belowMs = slice.belowMs;
    if (sameStateAsExcess) belowMs = belowMs === null ? 0 : belowMs + elapsedMs;
  }
  return {
    overUrgentReadings: 0,
    overEmergencyReadings: 0,
    onsetMs: keep ? slice.onsetMs : null,
    onsetAtStart: keep && slice.onsetAtStart,
    overIdle: keep && slice.overIdle,
    overRunning: keep && slice.overRunning,
    lowIdle: keep && (slice.lowIdle || (state === 'idle' && belowClosingLevel)),
    belowMs,
    belowSinceMs: belowClosingLevel ? (slice.belowSinceMs ?? atMs) : null,
    atMs,
    lastState: state,
    standing: slice.standing,
  };
}
