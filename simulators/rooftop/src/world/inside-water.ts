import { FUSION_JOULES_PER_GRAM } from './compartment-heat.ts';
import {
  type CompartmentState,
  type WaterLedger,
  WET_SURFACE_SQUARE_METRES,
} from './compartment-state.ts';
import { lagShare } from './drift.ts';

/** Most that a liquid film holds before it runs down; ice and frost stay. Assumption. */
const FILM_MOST_GRAMS_PER_SQUARE_METRE = 60;
/** What the bottom holds before it runs over the rim. Assumption. */
const POOL_MOST_GRAMS = 6000;
/** Melt of snow in the bottom by air and plate above 0 C. Assumption. */
const MELT_GRAMS_PER_KELVIN_HOUR = 90;
/** Share of melt water that drips over contactors and plate: snow lies on ledges too. Assumption. */
const MELT_DRIP_SHARE = 0.12;
/** Weep holes empty the bottom with this lag, blocked ones hardly. Assumption. */
const DRAIN_LAG_SECONDS = 4 * 3600;
const BLOCKED_DRAIN_LAG_SECONDS = 90 * 3600;

/** Lets snow melt; returns the heat that it takes from the air, W. */
export function meltSnow(
  state: CompartmentState,
  ledger: WaterLedger,
  stepSeconds: number,
): number {
  const celsius = 0.5 * (state.airCelsius + state.plateCelsius);
  if (state.snowGrams === 0 || celsius <= 0) return 0;
  const able = (MELT_GRAMS_PER_KELVIN_HOUR * celsius * stepSeconds) / 3600;
  const melt = Math.min(state.snowGrams, able);
  state.snowGrams -= melt;
  addLiquid(state, ledger, MELT_DRIP_SHARE * melt, (1 - MELT_DRIP_SHARE) * melt);
  return (melt * FUSION_JOULES_PER_GRAM) / stepSeconds;
}

/** Liquid onto the plate and into the bottom; what the plate cannot hold runs down. */
export function addLiquid(
  state: CompartmentState,
  ledger: WaterLedger,
  dripGrams: number,
  runGrams: number,
): void {
  ledger.drippedGrams += dripGrams;
  state.poolGrams += runGrams;
  state.filmGramsPerSquareMetre += dripGrams / WET_SURFACE_SQUARE_METRES;
  runDown(state);
}

export function runDown(state: CompartmentState): void {
  const liquid = state.filmGramsPerSquareMetre - state.frozenGramsPerSquareMetre;
  const excess = liquid - FILM_MOST_GRAMS_PER_SQUARE_METRE;
  if (excess <= 0) return;
  state.filmGramsPerSquareMetre -= excess;
  state.poolGrams += excess * WET_SURFACE_SQUARE_METRES;
}

/** Weep holes, and the rim when they are blocked. A frozen pool stays. */
export function drain(
  state: CompartmentState,
  ledger: WaterLedger,
  blocked: boolean,
  stepSeconds: number,
): void {
  if (state.poolGrams === 0 || state.plateCelsius <= 0) return;
  const lag = blocked ? BLOCKED_DRAIN_LAG_SECONDS : DRAIN_LAG_SECONDS;
  const over = Math.max(0, state.poolGrams - POOL_MOST_GRAMS);
  const out = over + (state.poolGrams - over) * lagShare(stepSeconds, lag);
  state.poolGrams -= out;
  ledger.drainedGrams += out;
}
