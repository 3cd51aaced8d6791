import type { Unit } from '@lineside/fleet';
import { CHANNEL_NAMES, type ChannelValues, type Reading } from '@lineside/readings';
import type { UnitCondition } from './condition.ts';
import type { FindingChange, WettingEpisode } from './vocabulary.ts';

export type Phase = 'a' | 'b' | 'c';

/** What a watch is told. All times are event times in ms. */
export type WatchEvent =
  | {
      readonly type: 'reading';
      readonly atMs: number;
      readonly channels: ChannelValues;
      /** `weatherFor(track, atMs)`; null when there is none. */
      readonly weather: Reading | null;
    }
  | {
      readonly type: 'service';
      readonly atMs: number;
      readonly action: string;
      readonly phases: readonly Phase[] | null;
    };

export const WATCH_STATE_VERSION = 1;

/** Plain JSON, bounded. */
export interface WatchState {
  readonly version: typeof WATCH_STATE_VERSION;
  readonly instantMs: number | null;
  readonly instantChannels: ChannelValues;
}

export interface WatchStep {
  readonly state: WatchState;
  readonly changes: readonly FindingChange[];
  /** Wettings that opened, changed materially (at most once an hour) or ended. */
  readonly episodes: readonly WettingEpisode[];
}

export function newWatchState(): WatchState {
  return { version: WATCH_STATE_VERSION, instantMs: null, instantChannels: {} };
}

/** Event time of the newest judged reading; null before the first. */
export function judgedThroughMs(state: WatchState): number | null {
  return state.instantMs;
}

export function stepWatch(state: WatchState, event: WatchEvent, _unit: Unit): WatchStep {
  const none = { state, changes: [], episodes: [] };
  if (event.type === 'service') return none;
  const { instantMs } = state;
  if (instantMs !== null && event.atMs < instantMs) return none;
  const channels =
    event.atMs === instantMs
      ? mergedChannels(state.instantChannels, event.channels)
      : event.channels;
  if (channels === null) return none;
  return { ...none, state: { ...state, instantMs: event.atMs, instantChannels: channels } };
}

function mergedChannels(seen: ChannelValues, sent: ChannelValues): ChannelValues | null {
  const isNew = CHANNEL_NAMES.some((name) => sent[name] !== undefined && seen[name] === undefined);
  return isNew ? { ...sent, ...seen } : null;
}

/** The unit's condition as of its newest judged reading; null before the first. */
export function conditionOf(state: WatchState, _unit: Unit): UnitCondition | null {
  if (state.instantMs === null) return null;
  return {
    atMs: state.instantMs,
    operatingState: 'unknown',
    relativeHumidityPercent: state.instantChannels.rh ?? null,
    dewPointMarginKelvin: null,
    marginInferred: false,
    vapourPressureExcessPascals: null,
    leakageMilliamps:
      state.instantChannels.leak === undefined ? null : state.instantChannels.leak * 1000,
    currentUnbalancePercent: null,
    voltageUnbalancePercent: null,
    wetting: null,
    wetHours30Days: 0,
    learningBaseline: true,
  };
}

/** A saved state, checked; null when it is of another version or not a state at all. */
export function restoreWatchState(json: unknown): WatchState | null {
  if (typeof json !== 'object' || json === null) return null;
  if (!('version' in json) || json.version !== WATCH_STATE_VERSION) return null;
  if (!('instantMs' in json) || !('instantChannels' in json)) return null;
  const { instantMs, instantChannels } = json;
  if (instantMs !== null && typeof instantMs !== 'number') return null;
  if (typeof instantChannels !== 'object' || instantChannels === null) return null;
  return { version: WATCH_STATE_VERSION, instantMs, instantChannels };
}
