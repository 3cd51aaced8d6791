import type { Weather } from './weather.ts';

/** What a control compartment holds. Changed in place by the steps of its balance. */
export interface CompartmentState {
  airCelsius: number;
  plateCelsius: number;
  vapourPascals: number;
  /** Water on plate and contactors, liquid and frozen together, g/m2. */
  filmGramsPerSquareMetre: number;
  /** The frozen part of the film, g/m2. */
  frozenGramsPerSquareMetre: number;
  /** Water standing in the compartment, g. */
  poolGrams: number;
  /** Snow lying in the compartment, g. */
  snowGrams: number;
}

/** Sums since the start, g. What came in is what is there and what left, at every moment. */
export interface WaterLedger {
  /** Liquid and snow through openings, spray of washings, snow that a script put there. */
  enteredGrams: number;
  /** Liquid that dripped or was sprayed onto plate and contactors. */
  drippedGrams: number;
  /** Vapour that became film. */
  condensedGrams: number;
  /** Vapour that pool and film gave off. */
  evaporatedGrams: number;
  /** Vapour that the pool gave off. */
  poolEvaporatedGrams: number;
  /** Vapour that air brought in; negative when it carried more out. */
  airedGrams: number;
  /** Out by drains and over the rim. */
  drainedGrams: number;
  /** Taken out by a person. */
  removedGrams: number;
}

export const VOLUME_CUBIC_METRES = 0.35;
/** Plate and contactors, the surface that a film lies on. */
export const WET_SURFACE_SQUARE_METRES = 0.5;
const ZERO_CELSIUS_KELVIN = 273.15;
/** 1000 over the gas constant of water vapour, 461.5 J/(kg K). */
const GRAMS_KELVIN_PER_JOULE: number = 1000 / 461.5;

/** Vapour in the compartment's air, g per Pa. */
export function vapourGramsPerPascal(airCelsius: number): number {
  return (GRAMS_KELVIN_PER_JOULE * VOLUME_CUBIC_METRES) / (airCelsius + ZERO_CELSIUS_KELVIN);
}

/** All the water in the compartment, g. */
export function storedGrams(state: Readonly<CompartmentState>): number {
  return (
    state.filmGramsPerSquareMetre * WET_SURFACE_SQUARE_METRES +
    state.poolGrams +
    state.snowGrams +
    state.vapourPascals * vapourGramsPerPascal(state.airCelsius)
  );
}

/** State in balance with the outdoors, dry. */
export function restingCompartment(weather: Weather): CompartmentState {
  return {
    airCelsius: weather.celsius,
    plateCelsius: weather.celsius,
    vapourPascals: weather.vapourPascals,
    filmGramsPerSquareMetre: 0,
    frozenGramsPerSquareMetre: 0,
    poolGrams: 0,
    snowGrams: 0,
  };
}

export function emptyLedger(): WaterLedger {
  return {
    enteredGrams: 0,
    drippedGrams: 0,
    condensedGrams: 0,
    evaporatedGrams: 0,
    poolEvaporatedGrams: 0,
    airedGrams: 0,
    drainedGrams: 0,
    removedGrams: 0,
  };
}
