import { diagnose, marksText, type Seen } from '../diagnosis/diagnose.ts';
import type { LeakageEstimate } from '../response/humidity-curve.ts';
import type { CauseEstimate, Priority, RaisedFinding } from '../vocabulary.ts';
import { evidenceNumber, shortNumber } from './figures.ts';
import type { LeakageContext } from './leakage.ts';
import { type LeakageLimits, LOAD_ERROR_MILLIAMPS_PER_AMP } from './leakage-limits.ts';
import type { LeakageSlice } from './leakage-slice.ts';
import { cameAtOnceMs, heldStill } from './leakage-step.ts';
import type { DetectorParameters } from './parameters.ts';

/**
 * Words, numbers and marks of a leakage finding.
 *
 * The side follows from when it leaks: high with contactors open means the line side; only with
 * contactors in, while readings at rest before and after were low, means the load. Water points to
 * the line side, where the terminals are always live.
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
const AT_ONCE = 'came-at-once-and-stays';
/** Above its half-hour level by this much is a rise. */
const RISING_RATIO = 1.25;

/** Leakage near the limit within a day, not before `sinceMs`: did it go when load went off? */
function whatLoadOffDid(
  slice: LeakageSlice,
  atMs: number,
  limitMilliamps: number,
  sinceMs: number,
): 'fell' | 'stayed' | null {
  const { loadOffAtMs, loadOffFromMilliamps: from, loadOffToMilliamps: to } = slice;
  if (loadOffAtMs === null || atMs - loadOffAtMs > IDLE_LEVEL_STALE_MS) return null;
  if (loadOffAtMs < sinceMs) return null;
  if (from < NEAR_LIMIT_SHARE * limitMilliamps) return null;
  if (to <= FALLEN_SHARE * from) return 'fell';
  return to >= STAYED_SHARE * from ? 'stayed' : null;
}

/** Whether the excess came from one reading to the next, not with a load, and held still since. */
function cameToStay(slice: LeakageSlice, milliamps: number): boolean {
  const { beforeMilliamps: before, onsetMilliamps: onset, onsetAfterMs: afterMs } = slice;
  if (slice.onsetAtStart || before === null || onset === null || afterMs === null) return false;
  const excess = milliamps - before;
  return afterMs <= SUDDEN_WITHIN_MS && Math.abs(milliamps - onset) <= STILL_SHARE * excess;
}

/**
 * Whether it came as no film does. Once health is learned, by what leaks beyond it
 * (`leakage-step.ts`): what leaked before has its own cause, and may well have come back.
 */
function cameAsNoFilm(
  slice: LeakageSlice,
  { level, limits }: LeakageContext,
  milliamps: number,
  priority: Priority,
): boolean {
  const { baselineMilliamps } = limits;
  if (baselineMilliamps === null) return priority === 'routine' && cameToStay(slice, milliamps);
  const stepAtMs = cameAtOnceMs(level.step, milliamps - baselineMilliamps);
  return stepAtMs > 0 && (slice.onsetMs ?? stepAtMs) >= stepAtMs - SUDDEN_WITHIN_MS;
}

/** What was seen of an excess, as marks: where it leaks first. */
function marksOf(
  slice: LeakageSlice,
  context: LeakageContext,
  atMs: number,
  milliamps: number,
  priority: Priority,
  parameters: DetectorParameters,
): readonly Seen[] {
  const { limits, operating } = context;
  const seen: Seen[] = [];
  const loadError = LOAD_ERROR_MILLIAMPS_PER_AMP * operating.largestAmps;
  const cameWithLoad = addPlace(seen, slice, context, atMs, milliamps);
  if (cameWithLoad && !slice.overIdle && milliamps <= loadError)
    seen.push('as-small-as-load-error');
  if (context.wet) seen.push('wet-now');
  if (context.fuses !== null) seen.push(context.fuses);
  if (context.doorOpen) seen.push('door-open');
  if (operating.state === 'unknown') seen.push('currents-unknown');
  if (cameAsNoFilm(slice, context, milliamps, priority)) {
    seen.push(AT_ONCE);
    if (heldStill(context.level.step, atMs)) seen.push('ignores-humidity');
  }
  if (context.addsAsNumber) seen.push('adds-as-a-number');
  if (limits.baselineMilliamps === null) seen.push('baseline-not-learned');
  const offsetIsKnown = limits.baselineMilliamps !== null && slice.overIdle;
  if (parameters.drive && !offsetIsKnown) seen.push('drive-filter');
  if (parameters.groundingLimitsFaultCurrent) seen.push('fault-current-limited');
  return seen;
}

/** Adds what tells the side. @returns whether the excess came with a load, low before. */
function addPlace(
  seen: Seen[],
  slice: LeakageSlice,
  context: LeakageContext,
  atMs: number,
  milliamps: number,
): boolean {
  const { level, limits } = context;
  // Shares are taken of the lowest limit: what is low for an urgent finding may be an excess.
  const limit = limits.routineMilliamps ?? limits.urgentMilliamps;
  const before = slice.beforeMilliamps;
  const cameWithLoad = slice.onsetAtStart && before !== null && before < LOW_BEFORE_SHARE * limit;
  if (slice.overIdle) seen.push('leaks-with-contactors-open');
  if (context.operating.state === 'unknown') return cameWithLoad;
  if (context.rest === 'leaks') seen.push('leaks-at-rest');
  if (context.rest === 'does-not-leak') seen.push('not-at-rest-as-humid');
  if (slice.lowWithLessLoad) seen.push('low-with-less-load');
  const sinceMs = cameAtOnceMs(level.step, milliamps - (limits.baselineMilliamps ?? 0));
  const withLoadOff = whatLoadOffDid(slice, atMs, limit, sinceMs);
  const figures =
    `${shortNumber(slice.loadOffFromMilliamps)} to ${shortNumber(slice.loadOffToMilliamps)} mA ` +
    'when load last went off';
  if (withLoadOff === 'fell') {
    seen.push({ mark: 'fell-with-load-off', words: `fell from ${figures}` });
  } else if (withLoadOff === 'stayed') {
    seen.push({ mark: 'stayed-with-load-off', words: `went from ${figures}` });
  }
  if (cameWithLoad) {
    const words = `came with a load, ${shortNumber(before)} mA before`;
    seen.push({ mark: 'came-with-load', words });
  }
  return cameWithLoad;
}

export function leakageFinding(
  change: 'opened' | 'escalated',
  priority: Priority,
  atMs: number,
  milliamps: number,
  slice: LeakageSlice,
  context: LeakageContext,
  parameters: DetectorParameters,
): RaisedFinding {
  const { level, operating, limits } = context;
  const marks = marksOf(slice, context, atMs, milliamps, priority, parameters);
  const causes = diagnose('leakage', marks);
  const idleKnown = level.idleAtMs !== null && atMs - level.idleAtMs <= IDLE_LEVEL_STALE_MS;
  // What came at once says what it is not, but nothing of where.
  const side = sideOf(
    diagnose(
      'leakage',
      marks.filter((mark) => mark !== AT_ONCE),
    ),
  );
  const rising =
    context.climbing ||
    (level.halfHourMilliamps !== null && milliamps >= RISING_RATIO * level.halfHourMilliamps);
  return {
    change,
    kind: 'leakage',
    priority,
    atMs,
    headline: headline(milliamps, rising, side, context.wetDay),
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
      stepMilliamps: evidenceNumber(level.step.step?.milliamps ?? null),
      compartmentWet: context.wet,
      relativeHumidityPercent: evidenceNumber(context.humidityPercent),
      wetDayMilliamps: evidenceNumber(context.wetDay?.milliamps ?? null),
      onsetMs: slice.onsetMs,
      baselineLearned: limits.baselineMilliamps !== null,
      marks: marksText(marks),
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

/** The side is named only when it is at least as likely as not. */
function sideOf(causes: readonly CauseEstimate[]): LeakageSide {
  const top = causes[0];
  if (top === undefined || top.probability < 0.5) return 'undetermined';
  if (top.cause === 'line-side-track-to-ground') return 'line';
  return top.cause === 'load-insulation' ? 'load' : 'undetermined';
}

function headline(
  milliamps: number,
  rising: boolean,
  side: LeakageSide,
  wetDay: LeakageEstimate | null,
): string {
  const parts = [`Leakage to ground ${shortNumber(milliamps)} mA`];
  if (rising) parts.push('rising');
  if (side === 'line') parts.push('line side');
  else if (side === 'load') parts.push('load side');
  else parts.push('side not known yet');
  if (wetDay !== null) parts.push(`${shortNumber(wetDay.milliamps)} mA on a wet day`);
  return parts.join(', ');
}
