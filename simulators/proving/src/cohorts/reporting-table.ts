import type { CohortTable } from './cohort-table.ts';

/**
 * What the figures come from that we tell. Wider than what anything was tuned on, with fainter
 * faults and stronger look-alikes; nothing that tunes may import it.
 */
export const REPORTING: CohortTable = {
  purpose: 'reporting',
  firstSeed: 5_000_000,
  ranges: {
    unit: {
      fullLoadAmps: [9, 32],
      seasonDay: [0, 364],
      latitudeDegrees: [30, 54],
      loadErrorPercent: [0.01, 0.08],
    },
    track: {
      depositMicrosiemens: [6, 24],
      wettingPointPercent: [58, 72],
      carbonAtStart: [0, 0.15],
      carbonPerKilojoule: [0.0001, 0.0008],
      fromShare: [0.2, 0.5],
      failShare: [0.7, 0.92],
      flashMilliamps: [8, 32],
      swapHours: [2, 30],
    },
    poles: {
      depositMicrosiemens: [200, 700],
      wettingPointPercent: [58, 69],
      fromShare: [0.2, 0.5],
    },
    load: { milliamps: [4, 12], milliampsPerWeek: [0.5, 5], fromShare: [0.25, 0.7] },
    ingress: { catchSquareMetres: [0.005, 0.025] },
    surroundings: {
      buildingHumidityPercent: [26, 48],
      buildingCubicMetresPerHour: [0.2, 1],
      snowGrams: [40, 300],
      stickHours: [3, 12],
      creepPercent: [2, 5],
    },
    connection: {
      finalPercent: [9, 30],
      abovePercent: [14, 20],
      belowPercent: [1.5, 4.2],
      fromShare: [0.2, 0.45],
      growthShare: [0.1, 0.55],
    },
    supply: { lowPercent: [1.5, 6], fromShare: [0.25, 0.7] },
    sudden: { atShare: [0.35, 0.95], verminMilliamps: [5, 35] },
    sensors: {
      fromShare: [0.25, 0.75],
      jumpMilliamps: [4, 30],
      jumpHumidityPercent: [8, 30],
      slippedRatio: [0.2, 0.9],
    },
    lookAlikes: {
      fromShare: [0.25, 0.65],
      lastsShare: [0.05, 0.5],
      filterMilliamps: [3, 18],
      driftMilliampsPerKelvin: [0.005, 0.05],
      errorPercentOfLoad: [0.03, 0.1],
      heaterMilliamps: [3, 22],
      arresterMilliamps: [0.2, 1.5],
      outletAmps: [1, 12],
      groundMicrosiemens: [10, 120],
      outageHours: [0.2, 14],
    },
  },
};
