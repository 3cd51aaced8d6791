/** What a unit's compartment is exposed to beside the weather. A scenario states it per unit. */

interface Period {
  readonly fromMs: number;
  readonly toMs: number;
}

export const OPENING_PLACES = ['gasket', 'conduit-entry', 'panel-edge'] as const;
export type OpeningPlace = (typeof OPENING_PLACES)[number];

/** What the place of an opening means for the water that comes through it. Assumptions. */
export interface OpeningTraits {
  /** Share of the water that drips over contactors and plate before it stands below, 0 to 1. */
  readonly dripShare: number;
  /** Share of the catch area that rain and snow reach without any wind, 0 to 1. */
  readonly fallingShare: number;
}

export const OPENING_TRAITS: Readonly<Record<OpeningPlace, OpeningTraits>> = {
  /** Beside the door, at the height of the contactors. */
  gasket: { dripShare: 0.12, fallingShare: 0 },
  /** Above the contactors, open upwards where the sealing is gone. */
  'conduit-entry': { dripShare: 0.45, fallingShare: 0.12 },
  /** Low on the panel: the water runs into the pan. */
  'panel-edge': { dripShare: 0.03, fallingShare: 0.03 },
};

/** A hole through which wind drives rain and snow into the compartment. */
export interface Opening {
  /** Where it faces, degrees clockwise from north. */
  readonly facingDegrees: number;
  /** Area that catches what a 6 m/s wind carries, m2. */
  readonly catchSquareMetres: number;
  /** True when the weep holes are blocked, so that water stays. */
  readonly drainBlocked: boolean;
  /** Where it is in the compartment; a gasket when not given. */
  readonly place?: OpeningPlace;
  /** When it opens, ms of event time; from the start of the world when not given. */
  readonly fromMs?: number;
}

/** Air of the building that comes up a conduit while the building is warmer than the outdoors. */
export interface BuildingAir {
  readonly celsius: number;
  readonly humidityPercent: number;
  /** Flow at 20 K between building and outdoors, m3/h; it goes with the root of the difference. */
  readonly cubicMetresPerHour: number;
}

/** Snow that somebody or a past storm left in the compartment. */
interface SnowInside {
  readonly atMs: number;
  readonly grams: number;
}

export interface Surroundings {
  /** Holes beside those of the script's `water-ingress` faults. */
  readonly openings: readonly Opening[];
  /** Coil washings: the door is open, the unit is off, spray reaches the contactors. */
  readonly washings: readonly Period[];
  readonly buildingAir: BuildingAir | null;
  readonly snowInside: SnowInside | null;
  /** Weep holes are blocked whatever the openings say. */
  readonly drainsBlocked: boolean;
}

/** A compartment that nothing but the weather reaches: humid weather gets in as air alone. */
export const PLAIN_SURROUNDINGS: Surroundings = {
  openings: [],
  washings: [],
  buildingAir: null,
  snowInside: null,
  drainsBlocked: false,
};

export function washingAt(surroundings: Surroundings, atMs: number): boolean {
  for (const { fromMs, toMs } of surroundings.washings) {
    if (atMs >= fromMs && atMs < toMs) return true;
  }
  return false;
}
