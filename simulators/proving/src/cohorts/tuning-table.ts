import type { CohortTable } from './cohort-table.ts';

/**
 * What rivals are tuned on, and what the regression runs on. Never reported from. The figures are
 * assumptions about units of the trade, of no particular one.
 */
export const TUNING: CohortTable = {
  purpose: 'tuning',
  firstSeed: 100_000,
  ranges: {
    unit: {
      fullLoadAmps: [12, 24],
      seasonDay: [0, 365],
      latitudeDegrees: [36, 50],
      loadErrorPercent: [0.02, 0.06],
    },
    track: {
      depositMicrosiemens: [8, 20],
      wettingPointPercent: [60, 68],
      carbonAtStart: [0.01, 0.1],
      carbonPerKilojoule: [0.0002, 0.0006],
      fromShare: [0.25, 0.45],
      failShare: [0.75, 0.9],
      flashMilliamps: [10, 25],
      swapHours: [4, 20],
    },
    poles: {
      depositMicrosiemens: [250, 600],
      wettingPointPercent: [60, 66],
      fromShare: [0.25, 0.45],
    },
    load: { milliamps: [5, 10], milliampsPerWeek: [1, 4], fromShare: [0.3, 0.6] },
    ingress: { catchSquareMetres: [0.008, 0.02] },
    surroundings: {
      buildingHumidityPercent: [30, 42],
      buildingCubicMetresPerHour: [0.3, 0.8],
      snowGrams: [60, 200],
      stickHours: [4, 9],
      creepPercent: [2, 4],
    },
    connection: {
      finalPercent: [12, 26],
      abovePercent: [15, 19],
      belowPercent: [2, 4],
      fromShare: [0.25, 0.4],
      growthShare: [0.2, 0.5],
    },
    supply: { lowPercent: [2, 5], fromShare: [0.3, 0.6] },
    sudden: { atShare: [0.4, 0.9], verminMilliamps: [8, 25] },
    sensors: {
      fromShare: [0.3, 0.7],
      jumpMilliamps: [5, 20],
      jumpHumidityPercent: [10, 25],
      slippedRatio: [0.3, 0.8],
    },
    lookAlikes: {
      fromShare: [0.3, 0.6],
      lastsShare: [0.1, 0.4],
      filterMilliamps: [4, 12],
      driftMilliampsPerKelvin: [0.01, 0.03],
      errorPercentOfLoad: [0.04, 0.08],
      heaterMilliamps: [5, 15],
      arresterMilliamps: [0.3, 1],
      outletAmps: [2, 8],
      groundMicrosiemens: [20, 80],
      outageHours: [0.5, 8],
    },
  },
};
