import type { Climate, StormStage } from './climate.ts';
import type { DepositKindName } from './deposit-kinds.ts';
import type { HourlyReport } from './hourly-report.ts';
import type { Opening, Surroundings } from './surroundings.ts';

export type { Opening };

import type { Fault } from './fault-kinds.ts';
import type { LookAlike } from './look-alike-kinds.ts';
import type { SharedTransformer, SiteEvent } from './site-events.ts';

export type { BacklogOrder, Fault, FaultKind } from './fault-kinds.ts';
export type { LookAlike, LookAlikeKind } from './look-alike-kinds.ts';
export type { GroundElsewhere, SharedTransformer, SiteEvent } from './site-events.ts';

export const PHASES = ['a', 'b', 'c'] as const;
export type Phase = (typeof PHASES)[number];

/** A flash-over that happens at the first reading after `notBeforeMs` with so much current. */
export interface FlashOver {
  readonly notBeforeMs: number;
  readonly aboveMilliamps: number;
  readonly opens: readonly Phase[];
}

export interface TrackGrowth {
  /** When the deposit begins to matter; absent: at the start of the world. */
  readonly fromMs?: number;
  /** Conductance of the fully wet deposit while nothing is carbonised, microsiemens. */
  readonly depositMicrosiemens: number;
  /** What it consists of; default mineral dust. Its wetting point is `wettingPointPercent`. */
  readonly deposit?: DepositKindName;
  /** Humidity above which the deposit takes up water, % RH. */
  readonly wettingPointPercent: number;
  /** Carbonised share at the start of the world, 0 (none) to 1. */
  readonly carbonAtStart: number;
  /** Share of what is not yet carbonised that a kilojoule of leakage carbonises while wet. */
  readonly carbonPerKilojoule: number;
  readonly flashOvers: readonly FlashOver[];
  /** Flash-overs also by chance, from current, wetness and carbon; default false. */
  readonly flashesByItself?: boolean;
}

/** A line of a service record: an action and what goes with it. */
export interface ServiceLine {
  readonly action: string;
  readonly [field: string]: unknown;
}

/** What a visit changes in the world. */
export const VISIT_EFFECTS = [
  'fuses-replaced',
  'track-removed',
  'sealed',
  'terminal-tightened',
  /** Wiped, not replaced: the deposit is thinner, what has carbonised stays. */
  'track-cleaned',
  /** An opening was sealed, but another than the one that lets water in. */
  'wrong-opening-sealed',
  'load-repaired',
  'pole-replaced',
  'vermin-removed',
  'clip-replaced',
  'sensor-refitted',
  'node-revived',
] as const;
export type VisitEffect = (typeof VISIT_EFFECTS)[number];

export interface Visit {
  readonly atMs: number;
  /** How long the disconnect stays open; 0 for a visit that opens nothing. */
  readonly disconnectOpenMs: number;
  readonly effects: readonly VisitEffect[];
  readonly lines: readonly ServiceLine[];
  /** How long after the visit its records are written; null: never. Default at once. */
  readonly recordedAfterMs?: number | null;
}

/** What a unit's node can measure beside the channels that every node has. */
export interface NodeFit {
  readonly plateSensor: boolean;
  readonly voltages: boolean;
  readonly voltagesToGround: boolean;
  readonly resistiveLeakage: boolean;
  readonly bursts: boolean;
  readonly doorSwitch: boolean;
  readonly encoding: 'json' | 'cbor';
  /** Error of the leakage sensor in per cent of the load. */
  readonly loadErrorPercent: number;
  /** Below this the leakage sensor reads nothing, mA. */
  readonly leakFloorMilliamps: number;
  /** Standard deviation of one reading, mA. */
  readonly leakNoiseMilliamps: number;
  /** Below this a current sensor reads nothing, A. */
  readonly currentFloorAmps: number;
}

/** How a unit is built, where chance or the nameplate would say otherwise. */
export interface UnitBuild {
  /** Phases that feed the control transformer, the node's 24 V with it. Default a and b. */
  readonly controlPhases: readonly [Phase, Phase];
  /** Default true: each resting compressor is kept warm from two phases. */
  readonly crankcaseHeaters: boolean;
}

export interface UnitScript {
  readonly site: string;
  readonly unit: string;
  readonly faults: readonly Fault[];
  readonly visits: readonly Visit[];
  /** Somebody replaces open fuses, and no more, so long after they opened; null: nobody comes. */
  readonly fusesSwappedAfterMs: number | null;
  /** How long after a swap its record is written; null: never. Default at once. */
  readonly swapsRecordedAfterMs?: number | null;
  readonly lookAlikes?: readonly LookAlike[];
  readonly build?: Partial<UnitBuild>;
  /** Service records from before the world starts. */
  readonly past: readonly { readonly atMs: number; readonly line: ServiceLine }[];
  /** What differs from the fit that the unit gets by chance. */
  readonly node: Partial<NodeFit>;
  /** What reaches the compartment beside the weather; nothing when not given. */
  readonly surroundings?: Surroundings;
}

export interface Storm {
  readonly site: string;
  readonly stages: readonly StormStage[];
}

/** A world's script and its truth: what is wrong where, since when. */
export interface Scenario {
  /** The moment that the script is arranged around. */
  readonly nowMs: number;
  /** Where the world should start, so that the script unfolds in full. */
  readonly startMs: number;
  /** Day of the year that `nowMs` has in this world; the season goes by it, not by the calendar. */
  readonly seasonDayAtNow: number;
  readonly climates: Readonly<Record<string, Climate>>;
  /** By site: hours of a real station, which take the place of the climate. */
  readonly recordedWeather?: Readonly<Record<string, readonly HourlyReport[]>>;
  readonly storms: readonly Storm[];
  readonly siteEvents?: readonly SiteEvent[];
  readonly transformers?: readonly SharedTransformer[];
  /** Units that are not named are healthy. */
  readonly units: readonly UnitScript[];
}
