import type { Climate, StormStage } from './climate.ts';

export const PHASES = ['a', 'b', 'c'] as const;
export type Phase = (typeof PHASES)[number];

/** A hole through which wind drives rain and snow into the compartment. */
export interface Opening {
  /** Where it faces, degrees clockwise from north. */
  readonly facingDegrees: number;
  /** Area that catches what a 6 m/s wind carries, m2. */
  readonly catchSquareMetres: number;
  /** True when the weep holes are blocked, so that water stays. */
  readonly drainBlocked: boolean;
}

/** A flash-over that happens at the first reading after `notBeforeMs` with so much current. */
export interface FlashOver {
  readonly notBeforeMs: number;
  readonly aboveMilliamps: number;
  readonly opens: readonly Phase[];
}

export interface TrackGrowth {
  /** Conductance of the fully wet deposit while nothing is carbonised, microsiemens. */
  readonly depositMicrosiemens: number;
  /** Humidity above which the deposit takes up water, % RH. */
  readonly wettingPointPercent: number;
  /** Carbonised share at the start of the world, 0 (none) to 1. */
  readonly carbonAtStart: number;
  /** Share of what is not yet carbonised that a kilojoule of leakage carbonises while wet. */
  readonly carbonPerKilojoule: number;
  readonly flashOvers: readonly FlashOver[];
}

/** What is wrong with a unit or its node. Times are milliseconds of event time. */
export type Fault =
  | (TrackGrowth & { readonly kind: 'track-to-ground'; readonly phase: Phase })
  | (TrackGrowth & {
      readonly kind: 'track-between-poles';
      readonly phases: readonly [Phase, Phase];
    })
  | { readonly kind: 'water-ingress'; readonly opening: Opening }
  | {
      /** Conducts only while the load of that contactor runs. */
      readonly kind: 'load-insulation';
      readonly contactor: number;
      readonly phase: Phase;
      readonly fromMs: number;
      readonly milliamps: number;
      readonly milliampsPerWeek: number;
    }
  | {
      /** One phase of a load falls behind, slowly at first, `finalPercent` at `untilMs`. */
      readonly kind: 'loose-terminal';
      readonly contactor: number;
      readonly phase: Phase;
      readonly fromMs: number;
      readonly untilMs: number;
      readonly finalPercent: number;
    }
  | {
      /** One fuse opens at the first running reading after `notBeforeMs`. */
      readonly kind: 'open-fuse';
      readonly phase: Phase;
      readonly notBeforeMs: number;
    }
  | {
      /** The supply feeds one phase low from then on. */
      readonly kind: 'supply-unbalance';
      readonly phase: Phase;
      readonly fromMs: number;
      readonly lowPercent: number;
    }
  | {
      /** One phase's current sensor reads zero. */
      readonly kind: 'current-sensor-dead';
      readonly phase: Phase;
      readonly fromMs: number;
    }
  | {
      /** The node measures and keeps; the readings arrive when the network is back. */
      readonly kind: 'network-outage';
      readonly fromMs: number;
      readonly toMs: number;
    }
  | { readonly kind: 'node-dead'; readonly fromMs: number };

export type FaultKind = Fault['kind'];

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
] as const;
export type VisitEffect = (typeof VISIT_EFFECTS)[number];

export interface Visit {
  readonly atMs: number;
  /** How long the disconnect stays open; 0 for a visit that opens nothing. */
  readonly disconnectOpenMs: number;
  readonly effects: readonly VisitEffect[];
  readonly lines: readonly ServiceLine[];
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
}

export interface UnitScript {
  readonly site: string;
  readonly unit: string;
  readonly faults: readonly Fault[];
  readonly visits: readonly Visit[];
  /** Somebody replaces open fuses, and no more, so long after they opened; null: nobody comes. */
  readonly fusesSwappedAfterMs: number | null;
  /** Service records from before the world starts. */
  readonly past: readonly { readonly atMs: number; readonly line: ServiceLine }[];
  /** What differs from the fit that the unit gets by chance. */
  readonly node: Partial<NodeFit>;
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
  readonly storms: readonly Storm[];
  /** Units that are not named are healthy. */
  readonly units: readonly UnitScript[];
}
