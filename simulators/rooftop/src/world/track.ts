import { DEPOSIT_KINDS } from './deposit-kinds.ts';
import { balancedWetness, followWetness, type SurfaceMoisture } from './deposits.ts';
import type { RandomStream } from './random.ts';
import type { FlashOver, Phase, TrackGrowth } from './scenario.ts';

export interface TrackState {
  /** Wetness of the deposit along the path, see `balancedWetness`. */
  wetness: number;
  /** Carbonised share of the path, up to 1; never falls. */
  carbon: number;
  /** Energy that the leakage has spent while wet, J; never falls. */
  energyJoules: number;
  /** Of the last step. */
  milliamps: number;
  /** Conductance of the path now, an arc not counted, microsiemens. */
  microsiemens: number;
  burstCount: number;
  /** Highest current of a spark over the steady one, at least 1. */
  peakFactor: number;
  /** True while an arc bridges the path. */
  arcing: boolean;
  /** Share of the deposit that is there: 1 until somebody wipes it. */
  deposit: number;
  /** How many of the scripted flash-overs have happened. */
  flashOversPast: number;
}

/** Wet conductance grows by this factor as the path carbonises fully. */
const CARBON_GAIN = 7;
/** Up to this share nothing is left conducting once the deposit has dried. */
const DRY_ONSET = 0.12;
/** Conductance of a fully carbonised dry path, microsiemens. */
const DRY_MICROSIEMENS = 120;
/** The film dries itself to half its conductance at this power. */
const HALF_DRY_WATTS = 40;
/** Below this wetness the current spends its energy without harm. */
export const HARMLESS_WETNESS = 0.02;
/** Wiping leaves so much of the deposit and frees so much of the carbon (assumptions). */
const WIPED_DEPOSIT = 0.3;
const WIPED_CARBON = 0.8;

export function startTrack(growth: TrackGrowth): TrackState {
  return {
    wetness: 0,
    carbon: growth.carbonAtStart,
    energyJoules: 0,
    milliamps: 0,
    microsiemens: 0,
    burstCount: 0,
    peakFactor: 1,
    arcing: false,
    deposit: 1,
    flashOversPast: 0,
  };
}

/**
 * Conductance, energy, growth and sparking of a track over one step. The shape of the growth law is
 * an assumption: conductance goes with wetness and carbon, carbon with the energy spent while wet.
 *
 * @param driveVolts across the track; 0 when its phase is dead.
 */
export function stepTrack(
  state: TrackState,
  growth: TrackGrowth,
  moisture: SurfaceMoisture,
  driveVolts: number,
  random: RandomStream,
  stepSeconds: number,
): void {
  const kind = DEPOSIT_KINDS[growth.deposit ?? 'mineral-dust'];
  const goal = balancedWetness(moisture, growth.wettingPointPercent, kind);
  state.wetness = followWetness(state.wetness, goal, stepSeconds, kind);
  const wetFilm =
    growth.depositMicrosiemens * state.deposit * state.wetness * (1 + CARBON_GAIN * state.carbon);
  const rawWatts = driveVolts * driveVolts * wetFilm * 1e-6;
  const film = wetFilm / (1 + rawWatts / HALF_DRY_WATTS);
  const bare = state.carbon - DRY_ONSET;
  const dry = bare > 0 ? DRY_MICROSIEMENS * bare * bare : 0;
  state.microsiemens = film + dry;
  state.milliamps = (driveVolts * state.microsiemens) / 1000;

  state.burstCount = 0;
  state.peakFactor = 1;
  if (state.wetness <= HARMLESS_WETNESS || state.milliamps === 0) return;
  const wetAmps = driveVolts * film * 1e-6;
  const joules = driveVolts * wetAmps * stepSeconds;
  state.energyJoules += joules;
  state.carbon += Math.max(0, 1 - state.carbon) * growth.carbonPerKilojoule * (joules / 1000);
  spark(state, goal, rawWatts, random, stepSeconds);
}

/** Dry bands spark where the current is strong enough to dry the film, most of all as it dries. */
function spark(
  state: TrackState,
  goal: number,
  rawWatts: number,
  random: RandomStream,
  stepSeconds: number,
): void {
  const drying = goal < state.wetness ? 1 : 0.35;
  const perMinute = drying * 1.5 * Math.max(0, rawWatts - 1);
  state.burstCount = random.poisson((perMinute * stepSeconds) / 60);
  if (state.burstCount > 0) state.peakFactor = 1 + 1.5 * random.uniform();
}

/** The tracked parts are wiped and stay in place. */
export function wipeTrack(state: TrackState): void {
  state.deposit = Math.min(state.deposit, WIPED_DEPOSIT);
  state.carbon *= WIPED_CARBON;
  state.wetness = 0;
  state.arcing = false;
}

/** The fuses that a flash-over opens now, if the script's next one is due. */
export function flashOverNow(
  state: TrackState,
  flashOvers: readonly FlashOver[],
  atMs: number,
): readonly Phase[] {
  const next = flashOvers[state.flashOversPast];
  if (next === undefined || atMs < next.notBeforeMs) return [];
  if (state.milliamps < next.aboveMilliamps) return [];
  state.flashOversPast += 1;
  return next.opens;
}
