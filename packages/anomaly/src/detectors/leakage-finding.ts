import type { CauseEstimate, FindingChange, Priority } from '../vocabulary.ts';
import { evidenceNumber, shortNumber } from './figures.ts';
import type { LeakageContext, LeakageSlice } from './leakage.ts';
import { type LeakageLimits, LOAD_ERROR_MILLIAMPS_PER_AMP } from './leakage-limits.ts';
import type { DetectorParameters } from './parameters.ts';

/**
 * Words, numbers and causes of a leakage finding.
 *
 * The side follows from when it leaks: high with contactors open means the line side; only with
 * contactors in, while readings at rest before and after were low, means the load. Water points to
 * the line side, where the terminals are always live. The probabilities are judgement, not
 * measured frequencies; where nothing decides, `unknown` comes first.
 */
type LeakageSide = 'line' | 'load' | 'undetermined';

/** A level at rest that is older says nothing of now. */
const IDLE_LEVEL_STALE_MS = 86_400_000;
/** Leakage below this share of the limit just before a load came on is low. */
const LOW_BEFORE_SHARE = 0.5;
/** What leakage did when load went off counts when it was at least this share of the limit ... */
const NEAR_LIMIT_SHARE = 0.4;
/** ... and fell below a third, or kept most of itself. */
const FALLEN_SHARE = 0.34;
const STAYED_SHARE = 0.7;
/** A leak that came within minutes and held still for the hour since is no film that wets. */
const SUDDEN_WITHIN_MS = 300_000;
const STILL_SHARE = 0.15;
/** Above its half-hour level by this much is a rise. */
const RISING_RATIO = 1.25;

interface Weights {
  line: number;
  load: number;
  unknown: number;
}

/** Leakage near the limit within the last day: did it go when load went off? */
function whatLoadOffDid(
  slice: LeakageSlice,
  atMs: number,
  limitMilliamps: number,
): 'fell' | 'stayed' | null {
  const { loadOffAtMs, loadOffFromMilliamps: from, loadOffToMilliamps: to } = slice;
  if (loadOffAtMs === null || atMs - loadOffAtMs > IDLE_LEVEL_STALE_MS) return null;
  if (from < NEAR_LIMIT_SHARE * limitMilliamps) return null;
  if (to <= FALLEN_SHARE * from) return 'fell';
  return to >= STAYED_SHARE * from ? 'stayed' : null;
}

function sideWeights(
  slice: LeakageSlice,
  context: LeakageContext,
  withLoadOff: 'fell' | 'stayed' | null,
  cameWithLoad: boolean,
): Weights {
  const { wet } = context;
  if (slice.overIdle) {
    return wet
      ? { line: 0.9, load: 0.02, unknown: 0.08 }
      : { line: 0.75, load: 0.02, unknown: 0.23 };
  }
  if (context.operating.state === 'unknown') {
    return wet ? { line: 0.6, load: 0.1, unknown: 0.3 } : { line: 0.25, load: 0.15, unknown: 0.6 };
  }
  if (context.rest === 'leaks') return { line: 0.88, load: 0.04, unknown: 0.08 };
  if (context.rest === 'does-not-leak') return { line: 0.05, load: 0.8, unknown: 0.15 };
  if (slice.lowWithLessLoad) {
    return { line: 0.05, load: 0.8, unknown: 0.15 };
  }
  if (withLoadOff === 'fell') {
    return wet
      ? { line: 0.15, load: 0.65, unknown: 0.2 }
      : { line: 0.08, load: 0.75, unknown: 0.17 };
  }
  if (withLoadOff === 'stayed') {
    return wet
      ? { line: 0.85, load: 0.03, unknown: 0.12 }
      : { line: 0.7, load: 0.05, unknown: 0.25 };
  }
  if (cameWithLoad) {
    return wet
      ? { line: 0.35, load: 0.45, unknown: 0.2 }
      : { line: 0.1, load: 0.65, unknown: 0.25 };
  }
  return wet ? { line: 0.55, load: 0.15, unknown: 0.3 } : { line: 0.25, load: 0.25, unknown: 0.5 };
}

/** What a look-alike takes away from both sides. */
function weakened(weights: Weights, share: number): Weights {
  const line = weights.line * (1 - share);
  const load = weights.load * (1 - share);
  return { line, load, unknown: 1 - line - load };
}

/** Whether the excess came from one reading to the next, not with a load, and held still since. */
function cameToStay(slice: LeakageSlice, milliamps: number): boolean {
  const { beforeMilliamps: before, onsetMilliamps: onset, onsetAfterMs: afterMs } = slice;
  if (slice.onsetAtStart || before === null || onset === null || afterMs === null) return false;
  const excess = milliamps - before;
  return afterMs <= SUDDEN_WITHIN_MS && Math.abs(milliamps - onset) <= STILL_SHARE * excess;
}

interface Reasons {
  readonly line: string[];
  readonly load: string[];
  readonly unknown: string[];
}

function reasons(
  slice: LeakageSlice,
  context: LeakageContext,
  withLoadOff: 'fell' | 'stayed' | null,
  cameWithLoad: boolean,
): Reasons {
  const line: string[] = [];
  const load: string[] = [];
  const unknown: string[] = [];
  if (context.limits.baselineMilliamps === null) {
    unknown.push('no baseline is learned yet: only absolute limits apply');
  }
  if (slice.overIdle) line.push('leaks with all contactors open');
  else if (context.rest === 'leaks') line.push('leaks at rest as well');
  else if (context.rest === 'does-not-leak') load.push('does not leak at rest, as humid as now');
  else if (slice.overRunning) unknown.push('seen only while running so far');
  if (context.wet) line.push('the compartment is wet now');
  const fromTo =
    `${shortNumber(slice.loadOffFromMilliamps)} to ${shortNumber(slice.loadOffToMilliamps)} mA ` +
    'when load last went off';
  if (withLoadOff === 'fell') load.push(`fell from ${fromTo}`);
  if (withLoadOff === 'stayed') line.push(`went from ${fromTo}`);
  if (slice.lowWithLessLoad) load.push('low with less load or none, high with it');
  if (cameWithLoad)
    load.push(`came with a load, ${shortNumber(slice.beforeMilliamps ?? 0)} mA before`);
  if (context.operating.state === 'unknown') unknown.push('the phase currents are not known');
  return { line, load, unknown };
}

export function leakageFinding(
  change: 'opened' | 'escalated',
  priority: Priority,
  atMs: number,
  milliamps: number,
  slice: LeakageSlice,
  context: LeakageContext,
  parameters: DetectorParameters,
): FindingChange {
  const { level, operating, limits } = context;
  // Shares are taken of the lowest limit: what is low for an urgent finding may be an excess.
  const limit = limits.routineMilliamps ?? limits.urgentMilliamps;
  const cameWithLoad =
    slice.onsetAtStart &&
    slice.beforeMilliamps !== null &&
    slice.beforeMilliamps < LOW_BEFORE_SHARE * limit;
  const withLoadOff = whatLoadOffDid(slice, atMs, limit);
  const because = reasons(slice, context, withLoadOff, cameWithLoad);
  let weights = sideWeights(slice, context, withLoadOff, cameWithLoad);
  const loadErrorMilliamps = LOAD_ERROR_MILLIAMPS_PER_AMP * operating.largestAmps;
  if (cameWithLoad && !slice.overIdle && milliamps <= loadErrorMilliamps) {
    weights = weakened(weights, 0.2);
    because.unknown.push('as small as the load error of a split-core sensor may be');
  }
  if (priority === 'routine' && cameToStay(slice, milliamps)) {
    weights = weakened(weights, 0.5);
    because.unknown.push('came from one reading to the next and holds still: a film does not');
  }
  const offsetIsKnown = limits.baselineMilliamps !== null && slice.overIdle;
  if (parameters.drive && !offsetIsKnown) {
    weights = weakened(weights, 0.5);
    because.unknown.push('the filter of a drive leaks tens of mA in health');
  }
  if (parameters.groundingLimitsFaultCurrent) {
    weights = weakened(weights, 0.3);
    because.unknown.push("on this supply a neighbour's ground fault raises healthy units too");
  }
  const causes = ranked(weights, because);
  const idleKnown = level.idleAtMs !== null && atMs - level.idleAtMs <= IDLE_LEVEL_STALE_MS;
  const side = sideOf(causes);
  const rising =
    context.climbing ||
    (level.halfHourMilliamps !== null && milliamps >= RISING_RATIO * level.halfHourMilliamps);
  return {
    change,
    kind: 'leakage',
    priority,
    atMs,
    headline: headline(milliamps, rising, side),
    evidence: {
      leakageMilliamps: evidenceNumber(milliamps),
      limitMilliamps: evidenceNumber(limitOf(priority, limits)),
      baselineMilliamps: evidenceNumber(limits.baselineMilliamps),
      steepRise: context.climbing,
      halfHourLeakageMilliamps: evidenceNumber(level.halfHourMilliamps),
      earlierLeakageMilliamps: evidenceNumber(level.earlierMilliamps),
      idleLeakageMilliamps: evidenceNumber(idleKnown ? level.idleMilliamps : null),
      operatingState: operating.state,
      side,
      compartmentWet: context.wet,
      relativeHumidityPercent: evidenceNumber(context.humidityPercent),
      onsetMs: slice.onsetMs,
      baselineLearned: limits.baselineMilliamps !== null,
    },
    causes,
  };
}

function limitOf(priority: Priority, limits: LeakageLimits): number {
  if (priority === 'emergency') return limits.emergencyMilliamps;
  return priority === 'urgent'
    ? limits.urgentMilliamps
    : (limits.routineMilliamps ?? limits.urgentMilliamps);
}

function ranked(weights: Weights, because: Reasons): readonly CauseEstimate[] {
  const causes: CauseEstimate[] = [
    {
      cause: 'line-side-track-to-ground',
      probability: evidenceNumber(weights.line),
      because: because.line,
    },
    { cause: 'load-insulation', probability: evidenceNumber(weights.load), because: because.load },
    { cause: 'unknown', probability: evidenceNumber(weights.unknown), because: because.unknown },
  ];
  return causes.sort((first, second) => second.probability - first.probability);
}

/** The side is named only when it is at least as likely as not. */
function sideOf(causes: readonly CauseEstimate[]): LeakageSide {
  const top = causes[0];
  if (top === undefined || top.probability < 0.5) return 'undetermined';
  if (top.cause === 'line-side-track-to-ground') return 'line';
  return top.cause === 'load-insulation' ? 'load' : 'undetermined';
}

function headline(milliamps: number, rising: boolean, side: LeakageSide): string {
  const parts = [`Leakage to ground ${shortNumber(milliamps)} mA`];
  if (rising) parts.push('rising');
  if (side === 'line') parts.push('line side');
  else if (side === 'load') parts.push('load side');
  else parts.push('side not known yet');
  return parts.join(', ');
}
