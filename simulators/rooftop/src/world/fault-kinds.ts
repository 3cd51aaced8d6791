/** Everything that can be wrong with a unit or its node. Times are milliseconds of event time. */
import type { Opening, Phase, TrackGrowth } from './scenario.ts';

/** How a network that was down gives back what its nodes kept. */
export type BacklogOrder = 'oldest-first' | 'newest-first' | 'lost';

interface FromUntil {
  readonly fromMs: number;
  /** Absent: until somebody repairs it. */
  readonly toMs?: number;
}

interface TrackToGround extends TrackGrowth {
  readonly kind: 'track-to-ground';
  readonly phase: Phase;
}

interface TrackBetweenPoles extends TrackGrowth {
  readonly kind: 'track-between-poles';
  readonly phases: readonly [Phase, Phase];
}

interface WaterIngress {
  readonly kind: 'water-ingress';
  readonly opening: Opening;
}

/** Something in the unit that should not conduct to ground and does. */
type InsulationFault =
  | {
      /** Conducts only while the load of that contactor runs. */
      readonly kind: 'load-insulation';
      readonly contactor: number;
      readonly phase: Phase;
      readonly fromMs: number;
      readonly milliamps: number;
      readonly milliampsPerWeek: number;
      /** A fan motor or terminal box out in the rain: so many times the current when soaked. */
      readonly rainFactor?: number;
    }
  | {
      /** A nest, a gnawed wire: sudden, whether dry or wet, without growth, on the line side. */
      readonly kind: 'vermin';
      readonly phase: Phase;
      readonly fromMs: number;
      readonly milliamps: number;
    }
  | {
      /** A winding is solidly grounded: the next start opens these fuses, and each one after. */
      readonly kind: 'compressor-grounded';
      readonly contactor: number;
      readonly fromMs: number;
      readonly opens: readonly Phase[];
    };

type ConnectionFault =
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
      /** A worn contactor pole: as a loose terminal, but another value at each pull-in. */
      readonly kind: 'worn-pole';
      readonly contactor: number;
      readonly phase: Phase;
      readonly fromMs: number;
      readonly untilMs: number;
      readonly finalPercent: number;
    }
  | {
      /** A clip that heats: takes the same phase's fuse under heavy load in dry weather. */
      readonly kind: 'hot-fuse-clip';
      readonly phase: Phase;
      readonly fromMs: number;
      /** Share of the unit's full-load amps that it takes. */
      readonly aboveLoadShare: number;
    };

type SupplyFault =
  | {
      /** One fuse opens at the first running reading after `notBeforeMs`. */
      readonly kind: 'open-fuse';
      readonly phase: Phase;
      readonly notBeforeMs: number;
    }
  | {
      /** Fuses open at a moment, by a surge from outside. */
      readonly kind: 'fuses-gone';
      readonly phases: readonly Phase[];
      readonly atMs: number;
    }
  | {
      /** Somebody opened the disconnect and wrote nothing. */
      readonly kind: 'disconnect-open';
      readonly fromMs: number;
      readonly toMs: number;
    }
  | ({
      /** The supply feeds one phase low. */
      readonly kind: 'supply-unbalance';
      readonly phase: Phase;
      readonly lowPercent: number;
    } & FromUntil)
  | ({
      /**
       * The utility loses a phase. Seen directly it is `phase`; through a delta-wye transformer
       * `phase` is the one that keeps its voltage and takes 230 % of the current.
       */
      readonly kind: 'utility-phase-lost';
      readonly phase: Phase;
      readonly through: 'direct' | 'delta-wye';
    } & FromUntil);

type SensorFault =
  | {
      /** One phase's current sensor reads zero. */
      readonly kind: 'current-sensor-dead';
      readonly phase: Phase;
      readonly fromMs: number;
    }
  | {
      /** The leakage sensor reads zero, sticks at a value, or far above its range. */
      readonly kind: 'leak-sensor-fault';
      readonly fromMs: number;
      readonly reads: 'zero' | 'stuck' | 'out-of-range';
    }
  | {
      /** A reading jumps by so much with no counterpart in the other channels. */
      readonly kind: 'sensor-jump';
      readonly channel: 'rh' | 't' | 'leak' | 'ia' | 'ib' | 'ic';
      /** mA for `leak`, else the channel's unit. */
      readonly by: number;
      readonly fromMs: number;
    }
  | {
      /** A split core whose jaw stands half open reads low by a fixed ratio; 0 when it is off. */
      readonly kind: 'transformer-slipped';
      readonly on: Phase | 'leak';
      readonly ratio: number;
      readonly fromMs: number;
    }
  | {
      /** Two current transformers exchanged: each reads the other's phase. */
      readonly kind: 'transformers-swapped';
      readonly phases: readonly [Phase, Phase];
      readonly fromMs: number;
    }
  | {
      /** Turned round: an RMS value cannot tell. */
      readonly kind: 'transformer-reversed';
      readonly phase: Phase;
      readonly fromMs: number;
    }
  | {
      /** After condensation it stays near 100 %RH for hours, and creeps up for good. */
      readonly kind: 'humidity-sticks';
      readonly fromMs: number;
      readonly stickHours: number;
      readonly creepPercent: number;
    }
  | ({
      /** The node's clock is off by so much, and runs fast by so many parts in a million. */
      readonly kind: 'clock-error';
      readonly offsetMs: number;
      readonly partsPerMillion: number;
    } & FromUntil);

type LinkFault =
  | {
      /** The node measures and keeps; the readings arrive when the network is back. */
      readonly kind: 'network-outage';
      readonly fromMs: number;
      readonly toMs: number;
      /** Default oldest first. */
      readonly backlog?: BacklogOrder;
    }
  | ({ readonly kind: 'readings-lost'; readonly share: number } & FromUntil)
  | ({ readonly kind: 'duplicate-deliveries'; readonly share: number } & FromUntil)
  | { readonly kind: 'node-dead'; readonly fromMs: number };

export type TrackFault = TrackToGround | TrackBetweenPoles;

export type Fault =
  | TrackFault
  | WaterIngress
  | InsulationFault
  | ConnectionFault
  | SupplyFault
  | SensorFault
  | LinkFault;

export type FaultKind = Fault['kind'];

/** Whether a fault that begins and may end by itself stands at a moment. */
export function stands(fault: FromUntil, atMs: number): boolean {
  return atMs >= fault.fromMs && atMs < (fault.toMs ?? Number.POSITIVE_INFINITY);
}
