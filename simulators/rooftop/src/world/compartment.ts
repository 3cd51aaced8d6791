import { absoluteHumidityGramsPerCubicMetre, saturationOverWaterPascals } from '@lineside/physics';
import { clamp, lagShare } from './drift.ts';
import type { Opening } from './scenario.ts';
import type { Weather } from './weather.ts';

/** Build of a control compartment. Sizes are common practice, no source. */
export interface CompartmentBuild {
  readonly airChangesPerHour: number;
  /** Further air changes per hour and m/s of wind. */
  readonly windAirChanges: number;
  /** Share of the plate's losses that goes to the outer skin, which sees the sky: 0 to 1. */
  readonly skinCoupling: number;
}

export interface CompartmentState {
  airCelsius: number;
  plateCelsius: number;
  vapourPascals: number;
  /** Liquid or frozen water on plate and contactors, g/m2. */
  filmGramsPerSquareMetre: number;
  /** Water standing in the compartment, g. */
  poolGrams: number;
  /** Snow lying in the compartment, g. */
  snowGrams: number;
}

export interface CompartmentHeat {
  /** Given to the air, W. */
  readonly airWatts: number;
  /** Given to the plate by transformer and coils, W. */
  readonly plateWatts: number;
}

const VOLUME_CUBIC_METRES = 0.35;
const WET_SURFACE_SQUARE_METRES = 0.5;
/** Most a film holds before it runs down. */
const FILM_MOST_GRAMS_PER_SQUARE_METRE = 60;
/** Mass transfer between a surface and still air, m/s: from the analogy with heat transfer. */
const MASS_TRANSFER_METRES_PER_SECOND = 0.004;
const POOL_SQUARE_METRES = 0.22;
const POOL_HALF_AREA_GRAMS = 80;
const AIR_LAG_SECONDS = 480;
const PLATE_LAG_SECONDS = 1500;
const WALL_WATTS_PER_KELVIN = 6.4;
const PLATE_WATTS_PER_KELVIN = 2.5;
const DOOR_OPEN_AIR_CHANGES = 120;
const REFERENCE_WIND = 6;
const MELT_GRAMS_PER_KELVIN_HOUR = 60;
/** Share of melt or driven water that drips over contactors and plate before it stands below. */
const DRIP_SHARE = 0.12;
const DRAIN_LAG_SECONDS = 4 * 3600;
const BLOCKED_DRAIN_LAG_SECONDS = 90 * 3600;

/** State in balance with the outdoors, dry. */
export function restingCompartment(weather: Weather): CompartmentState {
  return {
    airCelsius: weather.celsius,
    plateCelsius: weather.celsius,
    vapourPascals: weather.vapourPascals,
    filmGramsPerSquareMetre: 0,
    poolGrams: 0,
    snowGrams: 0,
  };
}

/**
 * Heat and moisture balance of the compartment over one step: air exchange, losses through the
 * walls, a plate that loses heat to the night sky by way of the skin, condensation on it and
 * evaporation from it, driven rain and snow, melt, standing water.
 */
export function stepCompartment(
  state: CompartmentState,
  build: CompartmentBuild,
  opening: Opening | null,
  weather: Weather,
  heat: CompartmentHeat,
  doorOpen: boolean,
  stepSeconds: number,
): void {
  const airChangesPerHour = doorOpen
    ? DOOR_OPEN_AIR_CHANGES
    : build.airChangesPerHour + build.windAirChanges * weather.windMetresPerSecond;
  stepHeat(state, build, weather, heat, airChangesPerHour, stepSeconds);
  stepWater(state, opening, weather, stepSeconds);
  stepVapour(state, weather, airChangesPerHour, stepSeconds);
}

/** Outer skin: wind against the sky and the sun. Coefficients are common practice, no source. */
function skinCelsius(weather: Weather): number {
  const convection = 6 + 4 * Math.min(weather.windMetresPerSecond, 10);
  const radiation = 4.6;
  return (
    (convection * weather.celsius +
      radiation * weather.skyCelsius +
      0.5 * weather.sunWattsPerSquareMetre) /
    (convection + radiation)
  );
}

function stepHeat(
  state: CompartmentState,
  build: CompartmentBuild,
  weather: Weather,
  heat: CompartmentHeat,
  airChangesPerHour: number,
  stepSeconds: number,
): void {
  const skin = skinCelsius(weather);
  const wall = 0.6 * weather.celsius + 0.4 * skin;
  // 1.2 kg/m3 and 1005 J/(kg K) of air.
  const exchange = (1.2 * 1005 * VOLUME_CUBIC_METRES * airChangesPerHour) / 3600;
  const airGoal =
    (exchange * weather.celsius +
      WALL_WATTS_PER_KELVIN * wall +
      PLATE_WATTS_PER_KELVIN * state.plateCelsius +
      heat.airWatts) /
    (exchange + WALL_WATTS_PER_KELVIN + PLATE_WATTS_PER_KELVIN);
  const toSkin = PLATE_WATTS_PER_KELVIN * build.skinCoupling;
  const plateGoal =
    (PLATE_WATTS_PER_KELVIN * state.airCelsius + toSkin * skin + heat.plateWatts) /
    (PLATE_WATTS_PER_KELVIN + toSkin);
  state.airCelsius += (airGoal - state.airCelsius) * lagShare(stepSeconds, AIR_LAG_SECONDS);
  state.plateCelsius += (plateGoal - state.plateCelsius) * lagShare(stepSeconds, PLATE_LAG_SECONDS);
}

function stepWater(
  state: CompartmentState,
  opening: Opening | null,
  weather: Weather,
  stepSeconds: number,
): void {
  let driven = 0;
  if (opening !== null && weather.rainMm + weather.snowMm > 0) {
    const radians = ((weather.windFromDegrees - opening.facingDegrees) * Math.PI) / 180;
    const carried =
      opening.catchSquareMetres *
      Math.max(0, Math.cos(radians)) *
      (weather.windMetresPerSecond / REFERENCE_WIND) *
      (stepSeconds / 60);
    // 1 mm on 1 m2 is 1 kg.
    driven = 1000 * weather.rainMm * carried;
    state.snowGrams += 1000 * weather.snowMm * carried;
  }
  const meltCelsius = 0.5 * (state.airCelsius + state.plateCelsius);
  if (state.snowGrams > 0 && meltCelsius > 0) {
    const melt = Math.min(
      state.snowGrams,
      (MELT_GRAMS_PER_KELVIN_HOUR * meltCelsius * stepSeconds) / 3600,
    );
    state.snowGrams -= melt;
    driven += melt;
  }
  state.filmGramsPerSquareMetre += (DRIP_SHARE * driven) / WET_SURFACE_SQUARE_METRES;
  state.poolGrams += (1 - DRIP_SHARE) * driven;
  const excess = state.filmGramsPerSquareMetre - FILM_MOST_GRAMS_PER_SQUARE_METRE;
  if (excess > 0) {
    state.filmGramsPerSquareMetre -= excess;
    state.poolGrams += excess * WET_SURFACE_SQUARE_METRES;
  }
  if (state.plateCelsius > 0) {
    const lag = opening?.drainBlocked ? BLOCKED_DRAIN_LAG_SECONDS : DRAIN_LAG_SECONDS;
    state.poolGrams *= 1 - lagShare(stepSeconds, lag);
  }
}

function stepVapour(
  state: CompartmentState,
  weather: Weather,
  airChangesPerHour: number,
  stepSeconds: number,
): void {
  const exchange = airChangesPerHour / 3600;
  const plateSaturation = saturationOverWaterPascals(state.plateCelsius);
  const filmGrams = state.filmGramsPerSquareMetre * WET_SURFACE_SQUARE_METRES;
  const gramsPerPascal =
    absoluteHumidityGramsPerCubicMetre(1000, state.airCelsius) * 1e-3 * VOLUME_CUBIC_METRES;

  let film = (MASS_TRANSFER_METRES_PER_SECOND * WET_SURFACE_SQUARE_METRES) / VOLUME_CUBIC_METRES;
  if (state.vapourPascals <= plateSaturation) {
    // A film gives off no more than there is of it.
    const wanted = film * (plateSaturation - state.vapourPascals) * gramsPerPascal * stepSeconds;
    film = wanted > 0 ? film * Math.min(1, filmGrams / wanted) : 0;
  }
  const poolArea =
    POOL_SQUARE_METRES * (state.poolGrams / (state.poolGrams + POOL_HALF_AREA_GRAMS));
  const pool = (MASS_TRANSFER_METRES_PER_SECOND * poolArea) / VOLUME_CUBIC_METRES;
  const poolSaturation = saturationOverWaterPascals(0.5 * (state.airCelsius + state.plateCelsius));

  // Implicit in the vapour pressure, so that any step width is stable.
  const vapour =
    (state.vapourPascals +
      stepSeconds *
        (exchange * weather.vapourPascals + film * plateSaturation + pool * poolSaturation)) /
    (1 + stepSeconds * (exchange + film + pool));
  const toPlate = film * (vapour - plateSaturation) * gramsPerPascal * stepSeconds;
  const fromPool = pool * (poolSaturation - vapour) * gramsPerPascal * stepSeconds;
  const airSaturation = saturationOverWaterPascals(state.airCelsius);
  const fog = Math.max(0, vapour - airSaturation) * gramsPerPascal;
  state.vapourPascals = Math.min(vapour, airSaturation);
  state.poolGrams = Math.max(0, state.poolGrams - fromPool);
  state.filmGramsPerSquareMetre = clamp(
    state.filmGramsPerSquareMetre + (toPlate + fog) / WET_SURFACE_SQUARE_METRES,
    0,
    FILM_MOST_GRAMS_PER_SQUARE_METRE,
  );
}
