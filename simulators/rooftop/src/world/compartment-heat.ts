import { type CompartmentState, VOLUME_CUBIC_METRES } from './compartment-state.ts';
import { lagShare } from './drift.ts';
import type { Weather } from './weather.ts';

/** Given to the air by whatever runs, and to the plate by transformer and coils, W. */
export interface CompartmentHeat {
  airWatts: number;
  plateWatts: number;
}

/** Air that comes in within the step. */
export interface AirFlows {
  /** Of outdoor air, per hour. */
  outdoorChangesPerHour: number;
  /** Of the building's air, per hour, and its temperature. */
  buildingChangesPerHour: number;
  buildingCelsius: number;
}

/** What water took from air and plate in the step before, W. */
export interface WaterHeat {
  meltWatts: number;
  plateEvaporationWatts: number;
}

const AIR_LAG_SECONDS = 480;
const PLATE_LAG_SECONDS = 1500;
const WALL_WATTS_PER_KELVIN = 6.4;
const PLATE_WATTS_PER_KELVIN = 2.5;
/** 1.2 kg/m3 and 1005 J/(kg K) of air, over an hour. */
const WATTS_PER_KELVIN_AND_CHANGE: number = (1.2 * 1005 * VOLUME_CUBIC_METRES) / 3600;
/** Heat that plate and contactors take up per kelvin. */
const PLATE_JOULES_PER_KELVIN = 6750;
/** Heat of fusion of water (published, 333.6 J/g). */
export const FUSION_JOULES_PER_GRAM = 333.6;

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

/** Temperatures of air and plate over a step: air exchange, walls, skin, loads, and water. */
export class HeatBalance {
  private readonly skinCoupling: number;
  private stepSeconds = 0;
  private airShare = 0;
  private plateShare = 0;

  /** @param skinCoupling share of the plate's losses that goes to the outer skin, 0 to 1. */
  constructor(skinCoupling: number) {
    this.skinCoupling = skinCoupling;
  }

  step(
    state: CompartmentState,
    weather: Weather,
    heat: Readonly<CompartmentHeat>,
    air: Readonly<AirFlows>,
    water: Readonly<WaterHeat>,
    stepSeconds: number,
  ): void {
    if (stepSeconds !== this.stepSeconds) {
      this.stepSeconds = stepSeconds;
      this.airShare = lagShare(stepSeconds, AIR_LAG_SECONDS);
      this.plateShare = lagShare(stepSeconds, PLATE_LAG_SECONDS);
    }
    const skin = skinCelsius(weather);
    const wall = 0.6 * weather.celsius + 0.4 * skin;
    const outdoor = WATTS_PER_KELVIN_AND_CHANGE * air.outdoorChangesPerHour;
    const building = WATTS_PER_KELVIN_AND_CHANGE * air.buildingChangesPerHour;
    const airGoal =
      (outdoor * weather.celsius +
        building * air.buildingCelsius +
        WALL_WATTS_PER_KELVIN * wall +
        PLATE_WATTS_PER_KELVIN * state.plateCelsius +
        heat.airWatts -
        water.meltWatts) /
      (outdoor + building + WALL_WATTS_PER_KELVIN + PLATE_WATTS_PER_KELVIN);
    const toSkin = PLATE_WATTS_PER_KELVIN * this.skinCoupling;
    const plateGoal =
      (PLATE_WATTS_PER_KELVIN * state.airCelsius +
        toSkin * skin +
        heat.plateWatts -
        water.plateEvaporationWatts) /
      (PLATE_WATTS_PER_KELVIN + toSkin);
    state.airCelsius += (airGoal - state.airCelsius) * this.airShare;
    state.plateCelsius += (plateGoal - state.plateCelsius) * this.plateShare;
  }
}

/** Freezes or melts what the plate's heat allows; the plate stays near 0 C meanwhile. */
export function freezeOrMeltFilm(state: CompartmentState, surfaceSquareMetres: number): void {
  const film = state.filmGramsPerSquareMetre;
  if (film === 0) {
    state.frozenGramsPerSquareMetre = 0;
    return;
  }
  const able =
    (state.plateCelsius * PLATE_JOULES_PER_KELVIN) / FUSION_JOULES_PER_GRAM / surfaceSquareMetres;
  const frozen = Math.min(Math.max(state.frozenGramsPerSquareMetre - able, 0), film);
  const melted = state.frozenGramsPerSquareMetre - frozen;
  state.frozenGramsPerSquareMetre = frozen;
  state.plateCelsius -=
    (melted * surfaceSquareMetres * FUSION_JOULES_PER_GRAM) / PLATE_JOULES_PER_KELVIN;
}
