import type { Alarm } from '@lineside/alarms';
import {
  judgedThroughMs,
  newWatchState,
  restoreWatchState,
  type WatchState,
} from '@lineside/anomaly';

/** Where the judging of one unit stands: plain JSON. */
export interface JudgementState {
  readonly watch: WatchState;
  /** The ledger's alarms that later events may still change. */
  readonly alarms: readonly Alarm[];
}

/** A unit that nothing is known of yet. */
export function newJudgementState(): JudgementState {
  return { watch: newWatchState(), alarms: [] };
}

/** Event time (ms) of the newest judged reading; null before the first. */
export function stateThroughMs(state: JudgementState): number | null {
  return judgedThroughMs(state.watch);
}

/** A saved state; null when it is of another version or no state: judge from the first reading. */
export function restoreJudgementState(json: unknown): JudgementState | null {
  if (typeof json !== 'object' || json === null || !('watch' in json) || !('alarms' in json)) {
    return null;
  }
  const watch = restoreWatchState(json.watch);
  const { alarms } = json;
  return watch !== null && areAlarms(alarms) ? { watch, alarms } : null;
}

function areAlarms(value: unknown): value is readonly Alarm[] {
  return Array.isArray(value) && value.every(isAlarm);
}

function isAlarm(value: unknown): value is Alarm {
  return (
    typeof value === 'object' &&
    value !== null &&
    'kind' in value &&
    'raisedAtMs' in value &&
    'priorities' in value &&
    Array.isArray(value.priorities)
  );
}
