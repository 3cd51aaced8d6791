import {
  type AirFlows,
  type CompartmentHeat,
  freezeOrMeltFilm,
  HeatBalance,
  type WaterHeat,
} from './compartment-heat.ts';
import {
  type CompartmentState,
  emptyLedger,
  restingCompartment,
  VOLUME_CUBIC_METRES,
  vapourGramsPerPascal,
  type WaterLedger,
  WET_SURFACE_SQUARE_METRES,
} from './compartment-state.ts';
import type { SurfaceMoisture } from './deposits.ts';
import { Ingress } from './ingress.ts';
import { addLiquid, drain, meltSnow } from './inside-water.ts';
import { waterPascals } from './saturation-table.ts';
import { type BuildingAir, type Opening, type Surroundings, washingAt } from './surroundings.ts';
import { stepVapour, type VapourFlows } from './vapour-balance.ts';
import type { Weather } from './weather.ts';

/** Build of a control compartment. Sizes are common practice, no source. */
export interface CompartmentBuild {
  readonly airChangesPerHour: number;
  /** Further air changes per hour and m/s of wind. */
  readonly windAirChanges: number;
  /** Further air changes per hour and root of the kelvins between inside and outside. */
  readonly stackAirChanges: number;
  /** Share of the plate's losses that goes to the outer skin, which sees the sky: 0 to 1. */
  readonly skinCoupling: number;
}

const DOOR_OPEN_AIR_CHANGES = 120;
/** Spray of a coil washing that reaches the compartment, g/min, and its share on the contactors. */
const WASHING_GRAMS_PER_MINUTE = 14;
const WASHING_DRIP_SHARE = 0.4;
/** `BuildingAir.cubicMetresPerHour` is stated for this difference. */
const BUILDING_REFERENCE_KELVIN = 20;

/**
 * Heat and moisture balance of one compartment: air exchange by wind, stack and door, losses
 * through the walls, a plate that loses heat to the sky by way of the skin, condensation and
 * evaporation, driven rain and snow, melt, standing water, drains. Steps of 10 s to 60 s.
 */
export class Compartment {
  readonly state: CompartmentState;
  readonly ledger: WaterLedger = emptyLedger();
  private readonly build: CompartmentBuild;
  private readonly surroundings: Surroundings;
  private readonly heatBalance: HeatBalance;
  private readonly ingress: Ingress;
  private snowPending: boolean;
  private readonly grams = { drip: 0, run: 0, snow: 0 };
  private readonly air: AirFlows = {
    outdoorChangesPerHour: 0,
    buildingChangesPerHour: 0,
    buildingCelsius: 0,
  };
  private readonly vapour: VapourFlows = {
    outdoorPerSecond: 0,
    outdoorPascals: 0,
    buildingPerSecond: 0,
    buildingPascals: 0,
  };
  private readonly waterHeat: WaterHeat = { meltWatts: 0, plateEvaporationWatts: 0 };
  private readonly moisture = { humidityPercent: 0, filmGramsPerSquareMetre: 0, celsius: 0 };

  /** @param openings those of faults and of the surroundings together. */
  constructor(
    build: CompartmentBuild,
    surroundings: Surroundings,
    openings: readonly Opening[],
    weather: Weather,
  ) {
    this.build = build;
    this.surroundings = surroundings;
    this.heatBalance = new HeatBalance(build.skinCoupling);
    this.ingress = new Ingress(openings);
    this.snowPending = surroundings.snowInside !== null;
    this.state = restingCompartment(weather);
  }

  /** Whether coils are washed at this time; the door is open then, and the unit is off. */
  washingAt(atMs: number): boolean {
    return washingAt(this.surroundings, atMs);
  }

  step(
    weather: Weather,
    heat: Readonly<CompartmentHeat>,
    doorOpen: boolean,
    atMs: number,
    stepSeconds: number,
  ): void {
    const { state, ledger } = this;
    const washing = this.washingAt(atMs);
    this.setFlows(weather, doorOpen || washing);
    const vapourGramsBefore = vapourGramsPerPascal(state.airCelsius);
    this.heatBalance.step(state, weather, heat, this.air, this.waterHeat, stepSeconds);
    // Air that warms swells out of the compartment at the same vapour pressure.
    ledger.airedGrams +=
      state.vapourPascals * (vapourGramsPerPascal(state.airCelsius) - vapourGramsBefore);
    this.takeIn(weather, washing, atMs, stepSeconds);
    this.waterHeat.meltWatts = meltSnow(state, ledger, stepSeconds);
    drain(
      state,
      ledger,
      this.surroundings.drainsBlocked || this.ingress.drainBlocked(atMs),
      stepSeconds,
    );
    freezeOrMeltFilm(state, WET_SURFACE_SQUARE_METRES);
    this.waterHeat.plateEvaporationWatts = stepVapour(state, ledger, this.vapour, stepSeconds);
  }

  /** The moisture that deposits on the plate see. One object, written anew by each call. */
  surface(): SurfaceMoisture {
    const { state, moisture } = this;
    const humidity = (100 * state.vapourPascals) / waterPascals(state.plateCelsius);
    moisture.humidityPercent = Math.min(Math.max(humidity, 0), 100);
    moisture.filmGramsPerSquareMetre =
      state.filmGramsPerSquareMetre - state.frozenGramsPerSquareMetre;
    moisture.celsius = state.plateCelsius;
    return moisture;
  }

  /** Closes every opening for good and wipes the bottom dry. */
  seal(): void {
    this.ingress.seal();
    this.ledger.removedGrams += this.state.poolGrams + this.state.snowGrams;
    this.state.poolGrams = 0;
    this.state.snowGrams = 0;
  }

  private setFlows(weather: Weather, doorOpen: boolean): void {
    const { state, build, air, vapour } = this;
    const apart = Math.abs(state.airCelsius - weather.celsius);
    air.outdoorChangesPerHour = doorOpen
      ? DOOR_OPEN_AIR_CHANGES
      : build.airChangesPerHour +
        build.windAirChanges * weather.windMetresPerSecond +
        build.stackAirChanges * Math.sqrt(apart);
    vapour.outdoorPerSecond = air.outdoorChangesPerHour / 3600;
    vapour.outdoorPascals = weather.vapourPascals;
    const { buildingAir } = this.surroundings;
    if (buildingAir === null) return;
    air.buildingCelsius = buildingAir.celsius;
    air.buildingChangesPerHour = buildingChangesPerHour(buildingAir, weather);
    vapour.buildingPerSecond = air.buildingChangesPerHour / 3600;
    vapour.buildingPascals =
      (buildingAir.humidityPercent / 100) * waterPascals(buildingAir.celsius);
  }

  private takeIn(weather: Weather, washing: boolean, atMs: number, stepSeconds: number): void {
    const { state, ledger, grams } = this;
    this.ingress.step(grams, weather, atMs, stepSeconds);
    if (grams.drip + grams.run + grams.snow > 0) {
      ledger.enteredGrams += grams.drip + grams.run + grams.snow;
      state.snowGrams += grams.snow;
      addLiquid(state, ledger, grams.drip, grams.run);
    }
    if (washing) {
      const spray = (WASHING_GRAMS_PER_MINUTE * stepSeconds) / 60;
      ledger.enteredGrams += spray;
      addLiquid(state, ledger, WASHING_DRIP_SHARE * spray, (1 - WASHING_DRIP_SHARE) * spray);
    }
    const { snowInside } = this.surroundings;
    if (this.snowPending && snowInside !== null && atMs >= snowInside.atMs) {
      this.snowPending = false;
      ledger.enteredGrams += snowInside.grams;
      state.snowGrams += snowInside.grams;
    }
  }
}

/** The building breathes out through the conduit while it is warmer than the air outside. */
function buildingChangesPerHour(building: BuildingAir, weather: Weather): number {
  const warmer = Math.max(0, building.celsius - weather.celsius);
  const flow = building.cubicMetresPerHour * Math.sqrt(warmer / BUILDING_REFERENCE_KELVIN);
  return flow / VOLUME_CUBIC_METRES;
}
