import type { Unit } from '@lineside/fleet';
import {
  CHANNEL_NAMES,
  type ChannelName,
  type ChannelValues,
  type Reading,
} from '@lineside/readings';
import { besideFuses } from './detectors/beside-fuses.ts';
import { repairLeakage } from './detectors/leakage.ts';
import { LEAKAGE_BASELINE_START } from './detectors/leakage-baseline.ts';
import { repairMoisture } from './detectors/moisture.ts';
import { parametersOf } from './detectors/parameters.ts';
import { repairPhaseTrack } from './detectors/phase-track.ts';
import { recordFuses } from './detectors/repeat-fuse.ts';
import { sampleOf } from './detectors/sample.ts';
import { recordDisconnect } from './detectors/supply-loss.ts';
import { judgeSample } from './judge-sample.ts';
import { repairLeakageResponse } from './response/leakage-response.ts';
import type { FindingChange, WettingEpisode } from './vocabulary.ts';
import type { WatchState } from './watch-state.ts';

export type Phase = 'a' | 'b' | 'c';

/** What a watch is told. All times are event times in ms. */
export type WatchEvent =
  | {
      readonly type: 'reading';
      readonly atMs: number;
      readonly channels: ChannelValues;
      /**
       * `weatherFor(track, atMs)`; null when there is none. The watch counts the rain and snow of
       * each report once, by its time.
       */
      readonly weather: Reading | null;
    }
  | {
      readonly type: 'service';
      readonly atMs: number;
      readonly action: string;
      readonly phases: readonly Phase[] | null;
    };

export interface WatchStep {
  readonly state: WatchState;
  readonly changes: readonly FindingChange[];
  /** Wettings that opened, went on (told at most once an hour) or ended. */
  readonly episodes: readonly WettingEpisode[];
}

const NO_CHANGES: readonly FindingChange[] = [];
const NO_EPISODES: readonly WettingEpisode[] = [];

/**
 * Judges one reading or service record of a unit. Pure: same state and event, same step.
 *
 * Readings must come in order of event time. One that is older than the newest judged reading is
 * ignored (the very same state comes back); at the same time only channels that were not there
 * yet count, so packs split over messages and redeliveries are safe. A reading may have any of
 * the channels. Changes are dated by event time: when the criterion, its delay included, was met.
 */
export function stepWatch(state: WatchState, event: WatchEvent, unit: Unit): WatchStep {
  if (event.type === 'service') return stepService(state, event);
  const { instantMs } = state;
  const { atMs } = event;
  if (instantMs !== null && atMs < instantMs) return unchanged(state);
  let fresh = event.channels;
  let all = fresh;
  if (atMs === instantMs) {
    const added = addedChannels(state.instantChannels, event.channels);
    if (added === null) return unchanged(state);
    fresh = added;
    all = { ...added, ...state.instantChannels };
  }
  const sample = sampleOf(atMs, fresh, all);
  return judgeSample(state, sample, all, event.weather, parametersOf(unit));
}

function unchanged(state: WatchState): WatchStep {
  return { state, changes: NO_CHANGES, episodes: NO_EPISODES };
}

/** The channels of `sent` that `seen` lacks; null when there are none. */
function addedChannels(seen: ChannelValues, sent: ChannelValues): ChannelValues | null {
  const added: { [name in ChannelName]?: number } = {};
  let any = false;
  for (const name of CHANNEL_NAMES) {
    const value = sent[name];
    if (value === undefined || seen[name] !== undefined) continue;
    added[name] = value;
    any = true;
  }
  return any ? added : null;
}

/**
 * A record about a time that is judged already takes effect from now on: findings never go back.
 */
function stepService(
  state: WatchState,
  event: Extract<WatchEvent, { readonly type: 'service' }>,
): WatchStep {
  const { action, atMs, phases } = event;
  const nowMs = Math.max(atMs, state.instantMs ?? atMs);
  const disconnect = recordDisconnect(state.supplyLoss, action, nowMs);
  const record = { action, atMs, nowMs, phases };
  const fuses = recordFuses(state.repeatFuse, record, besideFuses(state, nowMs));
  const isRepair = STARTS_BASELINE_ANEW.has(action);
  const repaired = isRepair
    ? startedAnew(state, nowMs)
    : KEEPS_WATER_OUT.has(action)
      ? { ...state, moisture: repairMoisture(state.moisture) }
      : state;
  const tracks = isRepair ? repairPhaseTrack(state.phaseTrack, nowMs) : null;
  const untouched = disconnect.slice === state.supplyLoss && fuses.slice === state.repeatFuse;
  if (untouched && repaired === state) return unchanged(state);
  return {
    state: {
      ...repaired,
      supplyLoss: disconnect.slice,
      repeatFuse: fuses.slice,
      phaseTrack: tracks?.slice ?? state.phaseTrack,
    },
    changes: [...disconnect.changes, ...fuses.changes, ...(tracks?.changes ?? [])],
    episodes: NO_EPISODES,
  };
}

/** Work after which the unit leaks otherwise than before, for good. */
const STARTS_BASELINE_ANEW: ReadonlySet<string> = new Set([
  'contactor-replaced',
  'connector-replaced',
  'cleaned',
]);

/** Work after which water that came in before says nothing of the next rain. */
const KEEPS_WATER_OUT: ReadonlySet<string> = new Set([
  'sealed',
  'gasket-replaced',
  'drain-cleared',
]);

function startedAnew(state: WatchState, atMs: number): WatchState {
  return {
    ...state,
    baseline: LEAKAGE_BASELINE_START,
    response: repairLeakageResponse(state.response, atMs),
    leakage: repairLeakage(state.leakage),
    moisture: repairMoisture(state.moisture),
  };
}
