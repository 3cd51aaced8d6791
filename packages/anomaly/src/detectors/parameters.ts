import type { Limits, Unit } from '@lineside/fleet';

/** What the detectors need to know of a unit, derived from its nameplate and limits. */
export interface DetectorParameters {
  readonly limits: Limits;
  readonly drive: boolean;
  /** The supply returns fault current only through capacitance or a resistor. */
  readonly groundingLimitsFaultCurrent: boolean;
  readonly solidWye: boolean;
  readonly nominalLineVolts: number;
  /** A phase current from here on means that a contactor is pulled in, A. */
  readonly runningAmps: number;
  /** Full-load amps of the smallest load that is known to be three phase, else null. */
  readonly smallestThreePoleAmps: number | null;
  /** Full-load amps of all two-pole loads: they make a healthy stage uneven. */
  readonly twoPoleAmps: number;
  /** Full-load amps of all loads but the largest. */
  readonly smallLoadAmps: number;
  /** Every contactor is known to have three poles or more. */
  readonly allThreePole: boolean;
}

/**
 * Without full-load amps on file: above the 1 A that a control transformer and crankcase heaters
 * draw at idle, below the smallest usual fan motor. Common practice, no source.
 */
const DEFAULT_RUNNING_AMPS = 2;
/** Never take less for running: idle current reaches 1 A and sensors err. */
const LEAST_RUNNING_AMPS = 1.5;
/** Even the largest unit runs its fans alone at times. */
const MOST_RUNNING_AMPS = 5;
/** A lightly loaded motor draws a third of its full-load amps and more. */
const RUNNING_SHARE_OF_FLA = 0.3;

const cache = new WeakMap<Unit, DetectorParameters>();

/** Derived once a unit object; the result depends on nothing else. */
export function parametersOf(unit: Unit): DetectorParameters {
  let parameters = cache.get(unit);
  if (parameters === undefined) {
    parameters = deriveParameters(unit);
    cache.set(unit, parameters);
  }
  return parameters;
}

function deriveParameters(unit: Unit): DetectorParameters {
  let smallestAmps: number | null = null;
  let smallestThreePoleAmps: number | null = null;
  let twoPoleAmps = 0;
  let largestAmps = 0;
  let allAmps = 0;
  for (const { flaAmps, poles } of unit.contactors) {
    if (poles !== null && poles < 3) twoPoleAmps += flaAmps ?? Infinity;
    if (flaAmps === null || flaAmps <= 0) continue;
    smallestAmps = Math.min(smallestAmps ?? Infinity, flaAmps);
    largestAmps = Math.max(largestAmps, flaAmps);
    allAmps += flaAmps;
    if (poles !== null && poles >= 3) {
      smallestThreePoleAmps = Math.min(smallestThreePoleAmps ?? Infinity, flaAmps);
    }
  }
  const { grounding } = unit.supply;
  return {
    limits: unit.limits,
    drive: unit.drive,
    groundingLimitsFaultCurrent: grounding === 'ungrounded' || grounding === 'high-resistance',
    solidWye: grounding === 'solid-wye',
    nominalLineVolts: unit.supply.volts,
    runningAmps:
      smallestAmps === null
        ? DEFAULT_RUNNING_AMPS
        : Math.min(
            Math.max(RUNNING_SHARE_OF_FLA * smallestAmps, LEAST_RUNNING_AMPS),
            MOST_RUNNING_AMPS,
          ),
    smallestThreePoleAmps,
    twoPoleAmps,
    smallLoadAmps: allAmps - largestAmps,
    allThreePole:
      unit.contactors.length > 0 && unit.contactors.every(({ poles }) => (poles ?? 0) >= 3),
  };
}
