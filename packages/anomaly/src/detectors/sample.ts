import { dewPointMarginKelvin, saturationOverWaterPascals } from '@lineside/physics';
import type { ChannelValues } from '@lineside/readings';

/** Three values that only make sense together. */
export interface ThreePhases {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly largest: number;
  readonly smallest: number;
}

/** The compartment's air at one instant. */
export interface CompartmentAir {
  readonly humidityPercent: number;
  readonly celsius: number;
  readonly vapourPascals: number;
  readonly saturationPascals: number;
  /** Back-plate, or the air where there is no plate sensor, C. */
  readonly surfaceCelsius: number;
  /** Surface minus dew or frost point, K. */
  readonly marginKelvin: number;
  /** True when the surface is the air, for want of a plate sensor. */
  readonly marginInferred: boolean;
}

/**
 * One instant of a unit as the detectors see it. A group is null when it is incomplete or brings
 * nothing new at this instant.
 */
export interface Sample {
  readonly atMs: number;
  readonly leakageMilliamps: number | null;
  /** Mains-frequency resistive part of the leakage, when the node reports it. */
  readonly leakageResistiveMilliamps: number | null;
  /** Highest leakage within the node's interval, when the node reports it. */
  readonly leakagePeakMilliamps: number | null;
  /** Bursts within the node's interval, when the node counts them. */
  readonly leakageBursts: number | null;
  readonly currents: ThreePhases | null;
  readonly lineVolts: ThreePhases | null;
  /** To ground, after the fuses. */
  readonly groundVolts: ThreePhases | null;
  readonly air: CompartmentAir | null;
  readonly doorOpen: boolean;
}

/**
 * Humidity below this is taken for this: perfectly dry air has no dew point, and no sensor
 * resolves less.
 */
const LEAST_HUMIDITY_PERCENT = 0.5;
const MILLIAMPS_PER_AMP = 1000;

/**
 * Builds a sample from what came in now (`fresh`) and everything known of that instant (`all`,
 * which contains `fresh`).
 */
export function sampleOf(atMs: number, fresh: ChannelValues, all: ChannelValues): Sample {
  const currentsFresh = fresh.ia !== undefined || fresh.ib !== undefined || fresh.ic !== undefined;
  const lineFresh = fresh.vab !== undefined || fresh.vbc !== undefined || fresh.vca !== undefined;
  const groundFresh = fresh.van !== undefined || fresh.vbn !== undefined || fresh.vcn !== undefined;
  const airFresh = fresh.rh !== undefined || fresh.t !== undefined || fresh.tp !== undefined;
  return {
    atMs,
    leakageMilliamps: milliamps(fresh.leak),
    leakageResistiveMilliamps: milliamps(fresh.leakr),
    leakagePeakMilliamps: milliamps(fresh.leakmax),
    leakageBursts: fresh.bursts !== undefined && fresh.bursts >= 0 ? fresh.bursts : null,
    currents: currentsFresh ? threePhases(all.ia, all.ib, all.ic) : null,
    lineVolts: lineFresh ? threePhases(all.vab, all.vbc, all.vca) : null,
    groundVolts: groundFresh ? threePhases(all.van, all.vbn, all.vcn) : null,
    air: airFresh ? compartmentAir(all) : null,
    doorOpen: all.door !== undefined && all.door > 0,
  };
}

/** The sample of a leakage sensor that reads `offsetMilliamps` too much, without that. */
export function withoutOffset(sample: Sample, offsetMilliamps: number): Sample {
  const { leakageMilliamps: sent, leakagePeakMilliamps: peak } = sample;
  if (offsetMilliamps === 0 || sent === null) return sample;
  return {
    ...sample,
    leakageMilliamps: Math.max(sent - offsetMilliamps, 0),
    leakagePeakMilliamps: peak === null ? null : Math.max(peak - offsetMilliamps, 0),
  };
}

function milliamps(amps: number | undefined): number | null {
  return amps !== undefined && amps >= 0 && amps < Infinity ? amps * MILLIAMPS_PER_AMP : null;
}

function threePhases(
  a: number | undefined,
  b: number | undefined,
  c: number | undefined,
): ThreePhases | null {
  if (a === undefined || b === undefined || c === undefined) return null;
  const largest = Math.max(a, b, c);
  const smallest = Math.min(a, b, c);
  // Not a magnitude (also not a number): the group is as good as missing.
  if (!(smallest >= 0 && largest < Infinity)) return null;
  return { a, b, c, largest, smallest };
}

function compartmentAir(channels: ChannelValues): CompartmentAir | null {
  const { rh, t } = channels;
  const tp = channels.tp !== undefined && isPlateCelsius(channels.tp) ? channels.tp : undefined;
  if (rh === undefined || t === undefined) return null;
  // Outside the formula's range (a hot cabinet's sensor at its limit) humidity means nothing.
  if (!(t >= -100 && t < 100 && rh >= 0 && rh <= 100)) return null;
  const saturationPascals = saturationOverWaterPascals(t);
  const vapourPascals = (Math.max(rh, LEAST_HUMIDITY_PERCENT) / 100) * saturationPascals;
  return {
    humidityPercent: rh,
    celsius: t,
    vapourPascals,
    saturationPascals,
    surfaceCelsius: tp ?? t,
    marginKelvin: dewPointMarginKelvin(tp ?? t, vapourPascals),
    marginInferred: tp === undefined,
  };
}

/** Far beyond what a plate can have, a plate sensor is as good as missing. */
function isPlateCelsius(celsius: number): boolean {
  return celsius >= -100 && celsius <= 200;
}

/** The phase that stands lowest, and its name as printed on a terminal. */
export function lowestPhase({ a, b, c }: ThreePhases): 'a' | 'b' | 'c' {
  if (a <= b && a <= c) return 'a';
  return b <= c ? 'b' : 'c';
}
