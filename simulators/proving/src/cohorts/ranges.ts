import type { RandomStream } from '@lineside/rooftop';

/** Lower and upper bound; draws are even over it. */
export type Range = readonly [low: number, high: number];

/** Where the parameters of all cohorts are drawn from. `…Share`: share of the run, 0 to 1. */
export interface Ranges {
  readonly unit: {
    readonly fullLoadAmps: Range;
    readonly seasonDay: Range;
    readonly latitudeDegrees: Range;
    readonly loadErrorPercent: Range;
  };
  readonly track: {
    readonly depositMicrosiemens: Range;
    readonly wettingPointPercent: Range;
    readonly carbonAtStart: Range;
    readonly carbonPerKilojoule: Range;
    readonly fromShare: Range;
    /** From when on it may flash over, at the current below. */
    readonly failShare: Range;
    readonly flashMilliamps: Range;
    readonly swapHours: Range;
  };
  readonly poles: {
    readonly depositMicrosiemens: Range;
    readonly wettingPointPercent: Range;
    readonly fromShare: Range;
  };
  readonly load: {
    readonly milliamps: Range;
    readonly milliampsPerWeek: Range;
    readonly fromShare: Range;
  };
  readonly ingress: { readonly catchSquareMetres: Range };
  readonly surroundings: {
    readonly buildingHumidityPercent: Range;
    readonly buildingCubicMetresPerHour: Range;
    readonly snowGrams: Range;
    readonly stickHours: Range;
    readonly creepPercent: Range;
  };
  readonly connection: {
    readonly finalPercent: Range;
    /** Final takes that leave the unbalance a little above 10 %, and below 4 %. */
    readonly abovePercent: Range;
    readonly belowPercent: Range;
    readonly fromShare: Range;
    readonly growthShare: Range;
  };
  readonly supply: { readonly lowPercent: Range; readonly fromShare: Range };
  readonly sudden: { readonly atShare: Range; readonly verminMilliamps: Range };
  readonly sensors: {
    readonly fromShare: Range;
    readonly jumpMilliamps: Range;
    readonly jumpHumidityPercent: Range;
    readonly slippedRatio: Range;
  };
  readonly lookAlikes: {
    readonly fromShare: Range;
    readonly lastsShare: Range;
    readonly filterMilliamps: Range;
    readonly driftMilliampsPerKelvin: Range;
    readonly errorPercentOfLoad: Range;
    readonly heaterMilliamps: Range;
    readonly arresterMilliamps: Range;
    readonly outletAmps: Range;
    readonly groundMicrosiemens: Range;
    readonly outageHours: Range;
  };
}

export function drawn(random: RandomStream, [low, high]: Range): number {
  return random.between(low, high);
}

/** @throws RangeError when there is nothing to choose from. */
export function oneOf<Choice>(random: RandomStream, choices: readonly Choice[]): Choice {
  const choice = choices[Math.floor(random.uniform() * choices.length)];
  if (choice === undefined) throw new RangeError('there is nothing to choose from');
  return choice;
}
