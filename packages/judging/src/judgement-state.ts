import type { Alarm } from '@lineside/alarms';
import {
  judgedThroughMs,
  newWatchState,
  restoreWatchState,
  type WatchState,
  type WettingEpisode,
  wettingSinceMs,
} from '@lineside/anomaly';

/** Where the judging of one unit stands: plain JSON. */
export interface JudgementState {
  readonly watch: WatchState;
  /** The ledger's alarms that later events may still change. */
  readonly alarms: readonly Alarm[];
  /** The wetting that goes on, as it was last told; null when none was told. */
  readonly episode: WettingEpisode | null;
  /** Event time (ms) of the newest judged service record; null before the first. */
  readonly servicedAtMs: number | null;
}

/** A unit that nothing is known of yet. */
export function newJudgementState(): JudgementState {
  return { watch: newWatchState(), alarms: [], episode: null, servicedAtMs: null };
}

/** Event time (ms) of the newest judged reading or service record; null before the first. */
export function stateThroughMs(state: JudgementState): number | null {
  const readingMs = judgedThroughMs(state.watch);
  if (readingMs === null || state.servicedAtMs === null) return readingMs ?? state.servicedAtMs;
  return Math.max(readingMs, state.servicedAtMs);
}

/**
 * Wettings from this event time (ms) on may still change or turn out to be none; null when
 * nothing was judged.
 */
export function wettingsOpenFromMs(state: JudgementState): number | null {
  const throughMs = stateThroughMs(state);
  if (throughMs === null) return null;
  return Math.min(throughMs + 1, wettingSinceMs(state.watch) ?? Infinity);
}

/** A saved state; null when it is of another version or no state: judge from the first reading. */
export function restoreJudgementState(json: unknown): JudgementState | null {
  if (typeof json !== 'object' || json === null || !('watch' in json)) return null;
  const watch = restoreWatchState(json.watch);
  if (watch === null || !hasRest(json)) return null;
  const { alarms, episode, servicedAtMs } = json;
  return { watch, alarms, episode, servicedAtMs };
}

function hasRest(json: object): json is Omit<JudgementState, 'watch'> {
  return (
    'alarms' in json &&
    Array.isArray(json.alarms) &&
    json.alarms.every(isAlarm) &&
    'episode' in json &&
    (json.episode === null || hasNumber(json.episode, 'startMs')) &&
    'servicedAtMs' in json &&
    (json.servicedAtMs === null || typeof json.servicedAtMs === 'number')
  );
}

function isAlarm(value: unknown): value is Alarm {
  return hasNumber(value, 'raisedAtMs') && 'priorities' in value && Array.isArray(value.priorities);
}

function hasNumber(value: unknown, name: string): value is object {
  return (
    typeof value === 'object' && value !== null && typeof Reflect.get(value, name) === 'number'
  );
}
