import { CHANNEL_NAMES, type ChannelValues } from '@lineside/readings';
import {
  FILM_HUMIDITY_FIELDS,
  FILM_HUMIDITY_START,
  type FilmHumiditySlice,
} from './detectors/film-humidity.ts';
import {
  LEAKAGE_BASELINE_FIELDS,
  LEAKAGE_BASELINE_START,
  type LeakageBaselineSlice,
} from './detectors/leakage-baseline.ts';
import {
  LEAKAGE_LEVEL_FIELDS,
  LEAKAGE_LEVEL_START,
  type LeakageLevelSlice,
} from './detectors/leakage-level.ts';
import {
  LEAKAGE_RISE_FIELDS,
  LEAKAGE_RISE_START,
  type LeakageRiseSlice,
} from './detectors/leakage-rise.ts';
import {
  LEAKAGE_SIDE_FIELDS,
  LEAKAGE_SIDE_START,
  type LeakageSideSlice,
} from './detectors/leakage-side.ts';
import { LEAKAGE_FIELDS, LEAKAGE_START, type LeakageSlice } from './detectors/leakage-slice.ts';
import { MOISTURE_FIELDS, MOISTURE_START, type MoistureSlice } from './detectors/moisture.ts';
import {
  OPERATING_FIELDS,
  OPERATING_START,
  type OperatingSlice,
} from './detectors/operating-state.ts';
import { OUTDOOR_FIELDS, OUTDOOR_START, type OutdoorSlice } from './detectors/outdoor.ts';
import {
  PHASE_LOSS_FIELDS,
  PHASE_LOSS_START,
  type PhaseLossSlice,
} from './detectors/phase-loss.ts';
import {
  PHASE_TRACK_FIELDS,
  PHASE_TRACK_START,
  type PhaseTrackSlice,
} from './detectors/phase-track.ts';
import {
  REPEAT_FUSE_FIELDS,
  REPEAT_FUSE_START,
  type RepeatFuseSlice,
} from './detectors/repeat-fuse.ts';
import { SENSOR_FIELDS, SENSOR_START, type SensorSlice } from './detectors/sensor.ts';
import {
  SUPPLY_LOSS_FIELDS,
  SUPPLY_LOSS_START,
  type SupplyLossSlice,
} from './detectors/supply-loss.ts';
import { UNBALANCE_FIELDS, UNBALANCE_START, type UnbalanceSlice } from './detectors/unbalance.ts';
import { WETNESS_FIELDS, WETNESS_START, type WetnessSlice } from './detectors/wetness.ts';
import { type FieldGuard, type FieldGuards, hasShape, isNumberOrNull } from './field-guards.ts';
import {
  LEAKAGE_RESPONSE_FIELDS,
  LEAKAGE_RESPONSE_START,
  type LeakageResponseSlice,
} from './response/leakage-response.ts';
import { POWER_FIELDS, POWER_START, type PowerSlice } from './site/power-spells.ts';

/** Rises when a saved state of before can no longer go on; such a unit is replayed. */
export const WATCH_STATE_VERSION = 7;

/** The most that a state takes as JSON; every list in it has a named limit. */
export const WATCH_STATE_MOST_BYTES = 12_288;

/** All that a watch knows of its unit: plain JSON, bounded, one slice a detector. */
export interface WatchState {
  readonly version: typeof WATCH_STATE_VERSION;
  /** Event time of the newest judged reading, and what is known of that instant. */
  readonly instantMs: number | null;
  readonly instantChannels: ChannelValues;
  readonly operating: OperatingSlice;
  readonly power: PowerSlice;
  readonly outdoor: OutdoorSlice;
  readonly wetness: WetnessSlice;
  readonly film: FilmHumiditySlice;
  readonly level: LeakageLevelSlice;
  readonly baseline: LeakageBaselineSlice;
  readonly side: LeakageSideSlice;
  readonly rise: LeakageRiseSlice;
  readonly response: LeakageResponseSlice;
  readonly leakage: LeakageSlice;
  readonly supplyLoss: SupplyLossSlice;
  readonly phaseLoss: PhaseLossSlice;
  readonly phaseTrack: PhaseTrackSlice;
  readonly unbalance: UnbalanceSlice;
  readonly moisture: MoistureSlice;
  readonly repeatFuse: RepeatFuseSlice;
  readonly sensor: SensorSlice;
}

/** A unit that nothing is known of yet. */
export function newWatchState(): WatchState {
  return {
    version: WATCH_STATE_VERSION,
    instantMs: null,
    instantChannels: {},
    operating: OPERATING_START,
    power: POWER_START,
    outdoor: OUTDOOR_START,
    wetness: WETNESS_START,
    film: FILM_HUMIDITY_START,
    level: LEAKAGE_LEVEL_START,
    baseline: LEAKAGE_BASELINE_START,
    side: LEAKAGE_SIDE_START,
    rise: LEAKAGE_RISE_START,
    response: LEAKAGE_RESPONSE_START,
    leakage: LEAKAGE_START,
    supplyLoss: SUPPLY_LOSS_START,
    phaseLoss: PHASE_LOSS_START,
    phaseTrack: PHASE_TRACK_START,
    unbalance: UNBALANCE_START,
    moisture: MOISTURE_START,
    repeatFuse: REPEAT_FUSE_START,
    sensor: SENSOR_START,
  };
}

/** Event time (ms) of the newest judged reading; null before the first. */
export function judgedThroughMs(state: WatchState): number | null {
  return state.instantMs;
}

const CHANNELS: ReadonlySet<string> = new Set(CHANNEL_NAMES);

const areChannelValues: FieldGuard = (value) =>
  typeof value === 'object' &&
  value !== null &&
  Object.entries(value).every(([name, number]) => CHANNELS.has(name) && Number.isFinite(number));

const STATE_FIELDS: FieldGuards<WatchState> = {
  version: (value) => value === WATCH_STATE_VERSION,
  instantMs: isNumberOrNull,
  instantChannels: areChannelValues,
  operating: hasShape(OPERATING_FIELDS),
  power: hasShape(POWER_FIELDS),
  outdoor: hasShape(OUTDOOR_FIELDS),
  wetness: hasShape(WETNESS_FIELDS),
  film: hasShape(FILM_HUMIDITY_FIELDS),
  level: hasShape(LEAKAGE_LEVEL_FIELDS),
  baseline: hasShape(LEAKAGE_BASELINE_FIELDS),
  side: hasShape(LEAKAGE_SIDE_FIELDS),
  rise: hasShape(LEAKAGE_RISE_FIELDS),
  response: hasShape(LEAKAGE_RESPONSE_FIELDS),
  leakage: hasShape(LEAKAGE_FIELDS),
  supplyLoss: hasShape(SUPPLY_LOSS_FIELDS),
  phaseLoss: hasShape(PHASE_LOSS_FIELDS),
  phaseTrack: hasShape(PHASE_TRACK_FIELDS),
  unbalance: hasShape(UNBALANCE_FIELDS),
  moisture: hasShape(MOISTURE_FIELDS),
  repeatFuse: hasShape(REPEAT_FUSE_FIELDS),
  sensor: hasShape(SENSOR_FIELDS),
};

const hasStateShape = hasShape(STATE_FIELDS);

function isWatchState(json: unknown): json is WatchState {
  return hasStateShape(json);
}

/**
 * A saved state, checked field by field; null when it is of another version or not a state. The
 * caller then replays the unit from stored readings.
 */
export function restoreWatchState(json: unknown): WatchState | null {
  return isWatchState(json) ? json : null;
}
