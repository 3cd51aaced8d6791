/** Where all parameters of the second world are drawn from: lower and upper bound. */
export const RANGES = {
  node: {
    cadenceSeconds: [60, 120],
    jitterSeconds: [0, 4],
    lostShare: [0, 0.02],
    leakFloorMilliamps: [0.05, 0.3],
    leakNoiseMilliamps: [0.02, 0.1],
    ampsNoise: [0.004, 0.02],
    humidityOffsetPercent: [-2, 2],
    temperatureOffsetKelvin: [-0.4, 0.4],
    loadErrorShare: [0.0002, 0.001],
  },
  compartment: {
    airLagMinutes: [15, 70],
    plateLagMinutes: [15, 90],
    vapourLagMinutes: [25, 300],
    sunKelvin: [4, 14],
    runKelvin: [0.5, 5],
    nightKelvin: [0.5, 3.5],
    filmGramsPerHourPascal: [0.01, 0.05],
  },
  residual: {
    wyeMilliamps: [0.3, 1.5],
    otherMilliamps: [1, 4],
    driveMilliamps: [5, 25],
    perKelvinShare: [-0.002, 0.002],
  },
  loads: {
    compressorAmps: [8, 40],
    fanShare: [0.12, 0.35],
    singleFanAmps: [1.5, 5],
    legSpreadShare: [0, 0.012],
    cycleMinutes: [10, 40],
    balanceCelsius: [12, 19],
    idleAmps: [0.1, 0.8],
    heaterAmps: [0.1, 0.4],
  },
  track: {
    wetMilliamps: [1.5, 8],
    halfPercent: [74, 92],
    slopePercent: [3, 7],
    lagMinutes: [8, 180],
    runawayHours: [15, 250],
    floorShare: [0.003, 0.04],
    flashMilliamps: [35, 150],
    poleMilliamps: [40, 250],
    poleFlashMilliamps: [500, 2500],
    swapHours: [3, 40],
  },
  ingress: { gramsPerMillimetre: [10, 120], snowGrams: [100, 800] },
  load: { milliamps: [2, 12], doubleWeeks: [1.5, 8] },
  connection: { finalShare: [0.04, 0.2], grownShare: [0.1, 0.5] },
  supply: { lowShare: [0.012, 0.045] },
  sudden: { verminMilliamps: [4, 40] },
  sensors: { jumpMilliamps: [2, 20], jumpPercent: [8, 25], slippedShare: [0.4, 0.85] },
  lookAlikes: {
    driftPerKelvin: [0.005, 0.02],
    heaterMilliamps: [3, 25],
    arresterMilliamps: [0.5, 4],
    filterMilliamps: [5, 30],
    outletAmps: [1, 10],
    buildingPascals: [200, 600],
    neighbourTimes: [1.5, 3],
    outageHours: [0.3, 10],
    stopHours: [4, 72],
    stickHours: [2, 12],
  },
  atShare: [0.3, 0.6],
} as const;

/** Blocks of seeds: development may use the first ten; figures are told from the reported one on. */
export const DEVELOPMENT_BLOCKS = 10;
export const FIRST_REPORTED_BLOCK = 100;
const FIRST_SEED = 700_000_000;
const SEEDS_A_BLOCK = 100_000;
const CASES_MOST = 1000;

/** @throws RangeError for an index that a cohort does not have. */
export function plainSeed(block: number, cohort: number, index: number): number {
  if (!(index >= 0 && index < CASES_MOST)) {
    throw new RangeError(`a cohort has at most ${CASES_MOST} cases, there is no case ${index}`);
  }
  return FIRST_SEED + block * SEEDS_A_BLOCK + cohort * CASES_MOST + index;
}
