import type { Unit } from '@lineside/fleet';
import {
  CHANNEL_NAMES,
  type ChannelName,
  type ChannelValues,
  type Reading,
} from '@lineside/readings';
import type { DetectorStep } from './detectors/detector-step.ts';
import { type LeakageContext, stepLeakage } from './detectors/leakage.ts';
import { stepLeakageLevel } from './detectors/leakage-level.ts';
import { stepMoisture } from './detectors/moisture.ts';
import { isSettled, stepOperatingState } from './detectors/operating-state.ts';
import { stepOutdoor } from './detectors/outdoor.ts';
import { type DetectorParameters, parametersOf } from './detectors/parameters.ts';
import { stepPhaseLoss } from './detectors/phase-loss.ts';
import { ageRepeatFuse, recordFuses } from './detectors/repeat-fuse.ts';
import { type Sample, sampleOf } from './detectors/sample.ts';
import { recordDisconnect, stepSupplyLoss } from './detectors/supply-loss.ts';
import { stepUnbalance } from './detectors/unbalance.ts';
import { compartmentIsWet, stepWetness } from './detectors/wetness.ts';
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
  return judge(state, sample, all, event.weather, parametersOf(unit));
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

function judge(
  before: WatchState,
  sample: Sample,
  instantChannels: ChannelValues,
  report: Reading | null,
  parameters: DetectorParameters,
): WatchStep {
  const { atMs, currents, air, leakageMilliamps } = sample;
  const collected: FindingChange[] = [];
  const take = <Slice>(step: DetectorStep<Slice>): Slice => {
    if (step.changes.length > 0) collected.push(...step.changes);
    return step.slice;
  };
  const outdoor = stepOutdoor(before.outdoor, report);
  const operating = stepOperatingState(before.operating, sample, parameters);
  const settled = isSettled(operating, atMs);
  const wetted = air === null ? null : stepWetness(before.wetness, sample, air, outdoor);
  const wetness = wetted === null ? before.wetness : wetted.slice;
  let { level, leakage, supplyLoss, phaseLoss, unbalance, moisture, repeatFuse } = before;
  if (leakageMilliamps !== null && settled) {
    const wet = compartmentIsWet(wetness);
    level = stepLeakageLevel(level, sample, operating, wet, parameters);
    const { humidityPercent } = wetness;
    const context: LeakageContext = { level, operating, wet, humidityPercent };
    leakage = take(stepLeakage(leakage, atMs, leakageMilliamps, context, parameters));
  }
  const electrical = currents !== null || sample.groundVolts !== null || sample.lineVolts !== null;
  if (electrical) {
    supplyLoss = take(stepSupplyLoss(supplyLoss, sample, operating, level, parameters));
    if (settled) {
      phaseLoss = take(stepPhaseLoss(phaseLoss, sample, operating, parameters));
      unbalance = take(stepUnbalance(unbalance, sample, operating, parameters));
    }
  }
  if (air !== null) moisture = take(stepMoisture(moisture, atMs, wetness, level, operating));
  repeatFuse = take(ageRepeatFuse(repeatFuse, atMs));
  return {
    state: {
      version: before.version,
      instantMs: atMs,
      instantChannels,
      operating,
      outdoor,
      wetness,
      level,
      leakage,
      supplyLoss,
      phaseLoss,
      unbalance,
      moisture,
      repeatFuse,
    },
    changes: collected,
    episodes: wetted === null ? NO_EPISODES : wetted.episodes,
  };
}

/** A record about a time that is judged already takes effect from now on: findings never go back. */
function stepService(
  state: WatchState,
  event: Extract<WatchEvent, { readonly type: 'service' }>,
): WatchStep {
  const { action, atMs, phases } = event;
  const nowMs = Math.max(atMs, state.instantMs ?? atMs);
  const disconnect = recordDisconnect(state.supplyLoss, action, nowMs);
  const fuses = recordFuses(state.repeatFuse, action, atMs, nowMs, phases);
  if (disconnect.slice === state.supplyLoss && fuses.slice === state.repeatFuse) {
    return unchanged(state);
  }
  return {
    state: { ...state, supplyLoss: disconnect.slice, repeatFuse: fuses.slice },
    changes: [...disconnect.changes, ...fuses.changes],
    episodes: NO_EPISODES,
  };
}
