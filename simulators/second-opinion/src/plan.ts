import type { Fleet } from '@lineside/fleet';
import type { PlainClimateName } from './weather/climates.ts';

/** Index of a phase: a, b, c. */
export type Leg = 0 | 1 | 2;
export const LEGS: readonly Leg[] = [0, 1, 2];

/** A path of leakage over dirt that water wakes up. */
export interface PlainTrack {
  /** What it carries fully wet at first: mA to ground at 277 V, or mA between poles. */
  readonly wetMilliamps: number;
  readonly shape: 'logistic' | 'exponential';
  /** Logistic: humidity of half the current; exponential: unused. %RH. */
  readonly halfPercent: number;
  /** %RH for a factor of e. */
  readonly slopePercent: number;
  readonly lagMs: number;
  /** Hours fully wet until it has run away, from its first current. */
  readonly runawayHours: number;
  /** Share of what has grown that stays when dry. */
  readonly floorShare: number;
  /** Current about which it flashes over, mA. */
  readonly flashMilliamps: number;
  readonly opens: readonly Leg[];
}

interface From {
  readonly fromMs: number;
}
interface Spell extends From {
  readonly toMs: number;
}

export type PlainFault =
  | (From & { readonly kind: 'track-to-ground'; readonly leg: Leg; readonly track: PlainTrack })
  | (From & {
      readonly kind: 'track-between-poles';
      readonly legs: readonly [Leg, Leg];
      readonly track: PlainTrack;
    })
  | (From & { readonly kind: 'water-ingress'; readonly gramsPerMillimetre: number })
  | (From & {
      readonly kind: 'load-insulation';
      readonly load: number;
      readonly leg: Leg;
      readonly milliamps: number;
      readonly doublesAfterMs: number;
      /** Times as much when rain has soaked it; 1: dry inside. */
      readonly rainFactor: number;
    })
  | (From & { readonly kind: 'vermin'; readonly leg: Leg; readonly milliamps: number })
  | (From & { readonly kind: 'compressor-grounded'; readonly opens: readonly Leg[] })
  | (From & { readonly kind: 'worn-pole'; readonly load: number; readonly leg: Leg } & Worsening)
  | (From & { readonly kind: 'loose-terminal'; readonly leg: Leg } & Worsening)
  | (From & { readonly kind: 'hot-fuse-clip' | 'open-fuse'; readonly leg: Leg })
  | (From & { readonly kind: 'fuses-gone'; readonly legs: readonly Leg[] })
  | (Spell & { readonly kind: 'disconnect-open' | 'network-outage' })
  | (Spell & { readonly kind: 'utility-phase-lost'; readonly leg: Leg })
  | (From & { readonly kind: 'supply-unbalance'; readonly leg: Leg; readonly lowShare: number })
  | (From & { readonly kind: 'current-sensor-dead'; readonly leg: Leg })
  | (From & {
      readonly kind: 'leak-sensor-fault';
      readonly mode: 'stuck' | 'drifting' | 'saturated';
      readonly milliamps: number;
    })
  | (From & {
      readonly kind: 'sensor-jump';
      readonly channel: 'leak' | 'rh' | 't';
      /** mA, %RH or K. */
      readonly by: number;
    })
  | (From & { readonly kind: 'transformer-slipped'; readonly leg: Leg; readonly share: number })
  | (From & { readonly kind: 'humidity-sticks'; readonly hours: number })
  | (Spell & { readonly kind: 'clock-error'; readonly byMs: number })
  | (From & { readonly kind: 'node-dead' });

interface Worsening {
  readonly finalShare: number;
  readonly grownMs: number;
}

export type PlainLookAlike =
  | (Spell & { readonly kind: 'transformer-drift'; readonly perKelvinShare: number })
  | (Spell & { readonly kind: 'residual-load-error'; readonly share: number })
  | (Spell & { readonly kind: 'damp-heater'; readonly milliamps: number })
  | (Spell & { readonly kind: 'surge-arrester'; readonly milliamps: number })
  | (Spell & { readonly kind: 'emi-filter'; readonly milliamps: number })
  | (Spell & { readonly kind: 'safety-stop' | 'coil-washing' | 'utility-outage' | 'gateway-loss' })
  | (Spell & { readonly kind: 'service-outlet'; readonly leg: Leg; readonly amps: number })
  | (Spell & { readonly kind: 'frozen-snow'; readonly grams: number })
  | (Spell & { readonly kind: 'building-air'; readonly pascals: number })
  | (Spell & { readonly kind: 'neighbour-ground'; readonly times: number });

export interface PlainUnitPlan {
  readonly faults: readonly PlainFault[];
  readonly lookAlikes: readonly PlainLookAlike[];
  /** Hours from a failure until the fuses are back. */
  readonly swapHours: number;
  /** Failures after which the root cause is repaired; null: never. */
  readonly repairedAfter: number | null;
  /** Whether the office hears of visits. */
  readonly recordsVisits: boolean;
}

/** A site's run, all that is needed to repeat it. */
export interface PlainPlan {
  readonly cohort: string;
  readonly seed: number;
  readonly startMs: number;
  readonly endMs: number;
  readonly seasonDay: number;
  readonly climate: PlainClimateName;
  readonly station: boolean;
  readonly fleet: Fleet;
  /** One for each unit of the fleet, in its order. */
  readonly units: readonly PlainUnitPlan[];
}
