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
  burstCount: number;
  peakMilliamps: number;
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
const HARMLESS_WETNESS = 0.02;

export function startTrack(growth: TrackGrowth): TrackState {
  return {
    wetness: 0,
    carbon: growth.carbonAtStart,
    energyJoules: 0,
    milliamps: 0,
    burstCount: 0,
    peakMilliamps: 0,
    flashOversPast: 0,
  };
}

/**
 * Current, energy, growth and sparking of a track over one step. The shape of the growth law is an
 * assumption: conductance goes with wetness and carbon, carbon with the energy spent while wet.
 *
 * @param driveVolts across the track; 0 when its phase is dead.
 * @param seriesOhms what the return path adds.
 */
export function stepTrack(
  state: TrackState,
  growth: TrackGrowth,
  moisture: SurfaceMoisture,
  driveVolts: number,
  seriesOhms: number,
  random: RandomStream,
  stepSeconds: number,
): void {
  const goal = balancedWetness(moisture, growth.wettingPointPercent);
  state.wetness = followWetness(state.wetness, goal, stepSeconds);
  const wetFilm = growth.depositMicrosiemens * state.wetness * (1 + CARBON_GAIN * state.carbon);
  const rawWatts = driveVolts * driveVolts * wetFilm * 1e-6;
  const film = wetFilm / (1 + rawWatts / HALF_DRY_WATTS);
  const dry = DRY_MICROSIEMENS * Math.max(0, state.carbon - DRY_ONSET) ** 2;
  const siemens = (film + dry) * 1e-6;
  const amps = siemens > 0 ? driveVolts / (1 / siemens + seriesOhms) : 0;
  state.milliamps = 1000 * amps;

  state.burstCount = 0;
  state.peakMilliamps = state.milliamps;
  if (state.wetness <= HARMLESS_WETNESS || amps === 0) return;
  const wetAmps = amps * (film / (film + dry));
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
  if (state.burstCount > 0) state.peakMilliamps *= 1 + 1.5 * random.uniform();
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
