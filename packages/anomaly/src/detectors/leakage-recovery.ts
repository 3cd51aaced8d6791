import type { LeakageContext } from './leakage.ts';
import type { LeakageSlice } from './leakage-slice.ts';
import type { OperatingSlice } from './operating-state.ts';

/**
 * When an excess of leakage is over. A low reading counts only under conditions that would show
 * the excess: with the load and as humid as when it leaked. Leakage that goes with every dry
 * morning has not gone: a track that wets each night is one finding.
 */

/** Below the closing level for this long, under like conditions. */
const CLOSING_MS = 1_800_000;
/** From here on a wet film carries the leak; it lags the humidity by hours (common practice). */
const FILM_HUMIDITY_PERCENT = 75;
const CLOSING_HUMID_MS = 14_400_000;
/** A film as humid as then, less what humidity sensors repeat themselves by. */
const LIKE_HUMIDITY_PERCENT = 3;
/** Films differ little where the air is all but saturated. */
const SATURATED_PERCENT = 98;
/** A leak seen only while running is not gone because the unit rests; after a day it closes. */
const UNTESTED_LOAD_MS = 86_400_000;
/** A leak seen only while humid is not gone because it dried: this bridges two weeks of fair weather. */
const UNTESTED_HUMIDITY_MS: number = 14 * 86_400_000;
/** What came back within this time of its end had not gone ... */
const RETURNS_WITHIN_MS: number = 14 * 86_400_000;
/** ... and its end is awaited four times as long each time, up to 64 times; as weather, four. */
const RETURN_FACTOR = 4;
const MOST_RETURNS = 3;
/**
 * What came back at once at rest after it had gone by itself is switched, by a thermostat or the
 * season's nights (a damp heater dries in an hour): it will come again within the next day or so.
 */
const SWITCHED_MS: number = 36 * 3_600_000;
/** A load of at least this share of the one that leaked puts the leak to the test again. */
const SAME_LOAD_SHARE = 0.85;
/** With less load, leakage counts as low below this share of the way to the lowest limit. */
const LOW_SHARE = 0.6;
/** A gap between readings counts at most this much towards closing. */
const MOST_GAP_MS = 1_800_000;

/** What was raised under a load before that was learned, and not seen at rest, is no film's. */
function wasHumid({ wettestPercent, raisedUnlearned, overIdle }: LeakageSlice): boolean {
  if (raisedUnlearned && !overIdle) return false;
  return wettestPercent !== null && wettestPercent >= FILM_HUMIDITY_PERCENT;
}

export function hasRecovered(slice: LeakageSlice, atMs: number): boolean {
  const { belowMs, belowSinceMs } = slice;
  const humid = wasHumid(slice);
  const { returns } = slice;
  const switchedMs = returns > 0 && slice.onsetStepped && slice.overIdle ? SWITCHED_MS : 0;
  const closingMs = humid
    ? CLOSING_HUMID_MS * (1 + returns)
    : CLOSING_MS * RETURN_FACTOR ** returns;
  if (belowMs !== null && belowMs >= Math.max(closingMs, switchedMs)) return true;
  const loadMs = Math.max(UNTESTED_LOAD_MS * (1 + 2 * returns), switchedMs);
  const untestedMs = humid ? UNTESTED_HUMIDITY_MS : loadMs;
  return belowSinceMs !== null && atMs - belowSinceMs >= untestedMs;
}

/** How often the finding that opens now has come back. */
export function returnsBy({ closedAtMs, returns }: LeakageSlice, atMs: number): number {
  const isBack = closedAtMs !== null && atMs - closedAtMs <= RETURNS_WITHIN_MS;
  return isBack ? Math.min(returns + 1, MOST_RETURNS) : 0;
}

/** True when a leak that was seen only under a larger load would not show now. */
export function hasLessLoad(slice: LeakageSlice, operating: OperatingSlice): boolean {
  if (!slice.overRunning || slice.overIdle || operating.state === 'unknown') return false;
  if (operating.state === 'idle') return true;
  return slice.overAmps !== null && operating.largestAmps < SAME_LOAD_SHARE * slice.overAmps;
}

/** True when a leak that was seen only when humid would not show now: dried, or frozen. */
function isDrier(slice: LeakageSlice, { filmPercent, frozen }: LeakageContext): boolean {
  if (slice.wettestPercent === null || !wasHumid(slice)) return false;
  const wettest = Math.min(slice.wettestPercent, SATURATED_PERCENT);
  return frozen || (filmPercent ?? 0) < wettest - LIKE_HUMIDITY_PERCENT;
}

type Under = Pick<LeakageSlice, 'lowWithLessLoad' | 'belowMs' | 'belowSinceMs'>;

/** What a reading below the lowest limit says; `keep`: the excess is still remembered. */
export function stepBelow(
  slice: LeakageSlice,
  atMs: number,
  milliamps: number,
  context: LeakageContext,
  keep: boolean,
): Under {
  const lessLoad = hasLessLoad(slice, context.operating);
  const { baselineMilliamps, routineMilliamps, urgentMilliamps, closingMilliamps } = context.limits;
  // What closes a finding is held against what is healthy here, by the measure of where it was
  // raised; a stage of load that is not learned yet closes nothing that a learned one has raised.
  const healthy = baselineMilliamps ?? 0;
  const above = Math.min(closingMilliamps - healthy, slice.closingMilliamps ?? Infinity);
  const closing = healthy + above;
  if (milliamps >= closing) {
    return {
      lowWithLessLoad: keep && slice.lowWithLessLoad,
      belowMs: null,
      belowSinceMs: null,
    };
  }
  const elapsedMs = Math.min(atMs - (slice.atMs ?? atMs), MOST_GAP_MS);
  const low = milliamps < LOW_SHARE * (routineMilliamps ?? urgentMilliamps);
  let { belowMs } = slice;
  if (!lessLoad && !isDrier(slice, context)) {
    belowMs = belowMs === null ? 0 : belowMs + elapsedMs;
  }
  return {
    lowWithLessLoad: keep && (slice.lowWithLessLoad || (lessLoad && low)),
    belowMs,
    belowSinceMs: slice.belowSinceMs ?? atMs,
  };
}

/** A low reading with less load, or within this time of the onset, leaves the excess remembered. */
export function isRecent(slice: LeakageSlice, atMs: number): boolean {
  return slice.onsetMs !== null && atMs - slice.onsetMs < UNTESTED_LOAD_MS;
}
