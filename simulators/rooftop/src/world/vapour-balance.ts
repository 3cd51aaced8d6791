import {
  type CompartmentState,
  VOLUME_CUBIC_METRES,
  vapourGramsPerPascal,
  type WaterLedger,
  WET_SURFACE_SQUARE_METRES,
} from './compartment-state.ts';
import { runDown } from './inside-water.ts';
import { surfacePascals, waterPascals } from './saturation-table.ts';

/** Mass transfer between a surface and still air, m/s: from the analogy with heat transfer. */
const MASS_TRANSFER_METRES_PER_SECOND = 0.004;
const FILM_PER_SECOND: number =
  (MASS_TRANSFER_METRES_PER_SECOND * WET_SURFACE_SQUARE_METRES) / VOLUME_CUBIC_METRES;
const POOL_SQUARE_METRES = 0.22;
const POOL_HALF_AREA_GRAMS = 80;
/** Heat of vaporisation near room temperature (published, 2.5 kJ/g at 0 C). */
const VAPOUR_JOULES_PER_GRAM = 2500;
/** Less than this, g, is dry. It leaves with the next evaporation. */
const LEAST_GRAMS = 1e-6;

/** Air that brings vapour: rates per second and vapour pressures, Pa. */
export interface VapourFlows {
  outdoorPerSecond: number;
  outdoorPascals: number;
  buildingPerSecond: number;
  buildingPascals: number;
}

/**
 * Vapour over one step, implicit in the vapour pressure so that any step width is stable; film and
 * pool give off no more than there is of them. Returns the heat that evaporation takes from the
 * plate, W; negative when vapour condenses on it.
 */
export function stepVapour(
  state: CompartmentState,
  ledger: WaterLedger,
  flows: Readonly<VapourFlows>,
  stepSeconds: number,
): number {
  const gramsPerPascal = vapourGramsPerPascal(state.airCelsius);
  const before = state.vapourPascals;
  const filmGrams = state.filmGramsPerSquareMetre * WET_SURFACE_SQUARE_METRES;
  const filmPascals = surfacePascals(state.plateCelsius);
  const pool = poolPerSecond(state.poolGrams);
  const poolPascals = pool > 0 ? surfacePascals(0.5 * (state.airCelsius + state.plateCelsius)) : 0;
  const { outdoorPerSecond, buildingPerSecond } = flows;

  const weight = 1 + stepSeconds * (outdoorPerSecond + buildingPerSecond);
  let sum =
    before +
    stepSeconds *
      (outdoorPerSecond * flows.outdoorPascals + buildingPerSecond * flows.buildingPascals);
  let filmRate = FILM_PER_SECOND * stepSeconds;
  let poolRate = pool * stepSeconds;
  let filmGone = 0;
  let poolGone = 0;
  let vapour = before;
  // Each pass fixes what would be overdrawn, so that two more passes always settle it.
  for (let pass = 0; pass < 3; pass += 1) {
    vapour =
      (sum + filmRate * filmPascals + poolRate * poolPascals) / (weight + filmRate + poolRate);
    if (filmRate > 0) {
      filmGone = filmRate * (filmPascals - vapour) * gramsPerPascal;
      if (filmGone > filmGrams) {
        filmGone = filmGrams;
        filmRate = 0;
        sum += filmGone / gramsPerPascal;
        continue;
      }
    }
    if (poolRate > 0) {
      poolGone = poolRate * (poolPascals - vapour) * gramsPerPascal;
      if (poolGone > state.poolGrams) {
        poolGone = state.poolGrams;
        poolRate = 0;
        sum += poolGone / gramsPerPascal;
        continue;
      }
    }
    break;
  }
  ledger.airedGrams +=
    stepSeconds *
    gramsPerPascal *
    (outdoorPerSecond * (flows.outdoorPascals - vapour) +
      buildingPerSecond * (flows.buildingPascals - vapour));
  return settle(state, ledger, vapour, filmGone, poolGone, gramsPerPascal) / stepSeconds;
}

/** Writes the fluxes into state and ledger; returns joules taken from the plate. */
function settle(
  state: CompartmentState,
  ledger: WaterLedger,
  vapour: number,
  filmGone: number,
  poolGone: number,
  gramsPerPascal: number,
): number {
  // Air that cools below its dew point gives its droplets to the surfaces.
  const mostPascals = waterPascals(state.airCelsius);
  const droplets = Math.max(0, vapour - mostPascals) * gramsPerPascal;
  state.vapourPascals = Math.min(vapour, mostPascals);
  const toFilm = droplets - filmGone;
  if (toFilm > 0) ledger.condensedGrams += toFilm;
  else ledger.evaporatedGrams -= toFilm;
  if (poolGone > 0) ledger.poolEvaporatedGrams += poolGone;
  ledger.evaporatedGrams += Math.max(0, poolGone);
  state.poolGrams = leastOrNone(state.poolGrams - poolGone);
  state.filmGramsPerSquareMetre = leastOrNone(
    state.filmGramsPerSquareMetre + toFilm / WET_SURFACE_SQUARE_METRES,
  );
  state.frozenGramsPerSquareMetre = Math.min(
    state.frozenGramsPerSquareMetre,
    state.filmGramsPerSquareMetre,
  );
  runDown(state);
  return filmGone * VAPOUR_JOULES_PER_GRAM;
}

function leastOrNone(grams: number): number {
  return grams < LEAST_GRAMS ? 0 : grams;
}

function poolPerSecond(poolGrams: number): number {
  if (poolGrams === 0) return 0;
  const area = POOL_SQUARE_METRES * (poolGrams / (poolGrams + POOL_HALF_AREA_GRAMS));
  return (MASS_TRANSFER_METRES_PER_SECOND * area) / VOLUME_CUBIC_METRES;
}
