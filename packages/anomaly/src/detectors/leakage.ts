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
  /** The excess came with a load: at a start, or when another stage came on. */
  readonly onsetAtStart: boolean;
  /** The last leakage before the onset, mA. */
  readonly beforeMilliamps: number | null;
  /** Where the excess has been seen since its onset. */
  readonly overIdle: boolean;
  readonly overRunning: boolean;
  /** The smallest load that ran with the excess, A. */
  readonly overAmps: number | null;
  /** Low leakage has been seen since the onset with less load, or none. */
  readonly lowWithLessLoad: boolean;
  /** Time spent below the closing level under loads that would show the excess. */
  readonly belowMs: number | null;
  /** Since when every reading, in whatever state, was below the closing level. */
  readonly belowSinceMs: number | null;
  readonly atMs: number | null;
  readonly lastMilliamps: number | null;
  readonly lastAmps: number | null;
  /** The newest time that load went off: leakage just before and just after. */
  readonly loadOffAtMs: number | null;
  readonly loadOffFromMilliamps: number;
  readonly loadOffToMilliamps: number;
  readonly standing: Priority | null;
}

/** Readings in a row over a limit. */
const LEAKAGE_READINGS_TO_RAISE = 2;
/** Closes below this share of the urgent limit ... */
const LEAKAGE_CLOSING_SHARE = 0.8;
/** ... that lasts this long. */
const LEAKAGE_CLOSING_MS = 1_800_000;
/** A leak seen only while running is not gone because the unit rests; after a day it closes. */
const LEAKAGE_CLOSING_UNTESTED_MS = 86_400_000;
/** Load went off when current fell below this share of what it was. */
const LOAD_OFF_SHARE = 0.7;
/** A load of at least this share of the one that leaked puts the leak to the test again. */
const SAME_LOAD_SHARE = 0.85;
/** A gap between readings counts at most this much towards closing. */
const MOST_GAP_MS = 1_800_000;

const NONE_OVER = { overUrgentReadings: 0, overEmergencyReadings: 0 };

/** All that is known of an excess, forgotten. */
const NO_EXCESS = {
  ...NONE_OVER,
  onsetMs: null,
  onsetAtStart: false,
  beforeMilliamps: null,
  overIdle: false,
  overRunning: false,
  overAmps: null,
  lowWithLessLoad: false,
  belowMs: null,
  belowSinceMs: null,
  standing: null,
};

export const LEAKAGE_START: LeakageSlice = {
  ...NO_EXCESS,
  atMs: null,
  lastMilliamps: null,
  lastAmps: null,
  loadOffAtMs: null,
  loadOffFromMilliamps: 0,
  loadOffToMilliamps: 0,
};

export const LEAKAGE_FIELDS: FieldGuards<LeakageSlice> = {
  overUrgentReadings: isNumber,
  overEmergencyReadings: isNumber,
  onsetMs: isNumberOrNull,
  onsetAtStart: isBoolean,
  beforeMilliamps: isNumberOrNull,
  overIdle: isBoolean,
  overRunning: isBoolean,
  overAmps: isNumberOrNull,
  lowWithLessLoad: isBoolean,
  belowMs: isNumberOrNull,
  belowSinceMs: isNumberOrNull,
  atMs: isNumberOrNull,
  lastMilliamps: isNumberOrNull,
  lastAmps: isNumberOrNull,
  loadOffAtMs: isNumberOrNull,
  loadOffFromMilliamps: isNumber,
  loadOffToMilliamps: isNumber,
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
  // Without voltage nothing leaks: that is neither an excess nor a recovery.
  if (context.operating.state === 'dead') {
    return { slice: { ...slice, ...NONE_OVER, atMs }, changes: NO_CHANGES };
  }
  const { leakageUrgentMilliamps, leakageEmergencyMilliamps } = parameters.limits;
  const { operating } = context;
  const closing = milliamps < LEAKAGE_CLOSING_SHARE * leakageUrgentMilliamps;
  const judged =
    milliamps >= leakageUrgentMilliamps
      ? over(slice, atMs, operating, milliamps >= leakageEmergencyMilliamps)
      : under(slice, atMs, operating, closing);
  const lastAmps = operating.state === 'unknown' ? null : operating.largestAmps;
  const seen = withReading(judged, atMs, milliamps, lastAmps);
  const next = withLoadOff(seen, slice, atMs, milliamps, parameters);
  if (next.standing !== null && hasRecovered(next, atMs)) {
    const changes: readonly FindingChange[] = [{ change: 'closed', kind: 'leakage', atMs }];
    return { slice: { ...next, ...NO_EXCESS }, changes };
  }
  const reached = reachedPriority(next);
  if (reached === null || !isHigher(reached, next.standing)) {
    return { slice: next, changes: NO_CHANGES };
  }
  const change = next.standing === null ? 'opened' : 'escalated';
  const finding = leakageFinding(change, reached, atMs, milliamps, next, context, parameters);
  return { slice: { ...next, standing: reached }, changes: [finding] };
}

function hasRecovered({ belowMs, belowSinceMs }: LeakageSlice, atMs: number): boolean {
  if (belowMs !== null && belowMs >= LEAKAGE_CLOSING_MS) return true;
  return belowSinceMs !== null && atMs - belowSinceMs >= LEAKAGE_CLOSING_UNTESTED_MS;
}

function reachedPriority(slice: LeakageSlice): Priority | null {
  if (slice.overEmergencyReadings >= LEAKAGE_READINGS_TO_RAISE) return 'emergency';
  return slice.overUrgentReadings >= LEAKAGE_READINGS_TO_RAISE ? 'urgent' : null;
}

/** Field by field: spreading an object is several times slower, and this runs for each reading. */
function withReading(
  slice: LeakageSlice,
  atMs: number,
  lastMilliamps: number,
  lastAmps: number | null,
): LeakageSlice {
  return {
    overUrgentReadings: slice.overUrgentReadings,
    overEmergencyReadings: slice.overEmergencyReadings,
    onsetMs: slice.onsetMs,
    onsetAtStart: slice.onsetAtStart,
    beforeMilliamps: slice.beforeMilliamps,
    overIdle: slice.overIdle,
    overRunning: slice.overRunning,
    overAmps: slice.overAmps,
    lowWithLessLoad: slice.lowWithLessLoad,
    belowMs: slice.belowMs,
    belowSinceMs: slice.belowSinceMs,
    standing: slice.standing,
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

function over(
  slice: LeakageSlice,
  atMs: number,
  operating: OperatingSlice,
  emergency: boolean,
): LeakageSlice {
  const begins = slice.onsetMs === null;
  const running = operating.state === 'running';
  const { loadStepAfterMs } = operating;
  const withLoadStep =
    running && slice.atMs !== null && loadStepAfterMs !== null && loadStepAfterMs >= slice.atMs;
  return {
    ...slice,
    overUrgentReadings: Math.min(slice.overUrgentReadings + 1, LEAKAGE_READINGS_TO_RAISE),
    overEmergencyReadings: emergency
      ? Math.min(slice.overEmergencyReadings + 1, LEAKAGE_READINGS_TO_RAISE)
      : 0,
    onsetMs: slice.onsetMs ?? atMs,
    onsetAtStart: begins ? withLoadStep : slice.onsetAtStart,
    beforeMilliamps: begins ? slice.lastMilliamps : slice.beforeMilliamps,
    overIdle: slice.overIdle || operating.state === 'idle',
    overRunning: slice.overRunning || running,
    overAmps: running
      ? Math.min(slice.overAmps ?? operating.largestAmps, operating.largestAmps)
      : slice.overAmps,
    belowMs: null,
    belowSinceMs: null,
  };
}

/** True when a leak that was seen only under a larger load would not show now. */
function hasLessLoad(slice: LeakageSlice, operating: OperatingSlice): boolean {
  if (!slice.overRunning || slice.overIdle || operating.state === 'unknown') return false;
  if (operating.state === 'idle') return true;
  return slice.overAmps !== null && operating.largestAmps < SAME_LOAD_SHARE * slice.overAmps;
}

function under(
  slice: LeakageSlice,
  atMs: number,
  operating: OperatingSlice,
  belowClosingLevel: boolean,
): LeakageSlice {
  if (slice.standing === null && slice.onsetMs === null) return slice;
  // An excess under load, followed by a low reading with less load, is what points to the load;
  // any other low reading before the raise makes the excess a wild value that leaves no trace.
  const lessLoad = hasLessLoad(slice, operating);
  const recent = slice.onsetMs !== null && atMs - slice.onsetMs < LEAKAGE_CLOSING_UNTESTED_MS;
  const keep = slice.standing !== null || (recent && lessLoad);
  const elapsedMs = Math.min(atMs - (slice.atMs ?? atMs), MOST_GAP_MS);
  let belowMs: number | null = null;
  if (belowClosingLevel) {
    belowMs = slice.belowMs;
    if (!lessLoad) belowMs = belowMs === null ? 0 : belowMs + elapsedMs;
  }
  return {
    ...slice,
    ...(keep ? NONE_OVER : NO_EXCESS),
    lowWithLessLoad: keep && (slice.lowWithLessLoad || (lessLoad && belowClosingLevel)),
    belowMs,
    belowSinceMs: belowClosingLevel ? (slice.belowSinceMs ?? atMs) : null,
  };
}
