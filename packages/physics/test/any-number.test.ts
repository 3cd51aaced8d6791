import * as physics from '@lineside/physics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from './between.ts';

/**
 * Whatever comes in, a function gives finite numbers or refuses. Each entry takes four numbers of
 * any kind; the functions of phasors have their own tests.
 */
type OfNumbers = (...numbers: readonly [number, number, number, number]) => unknown;

const FUNCTIONS: Readonly<Record<string, OfNumbers>> = {
  absoluteHumidity: (a, b) => physics.absoluteHumidityGramsPerCubicMetre(a, b),
  addedAtLeast: (a, b) => physics.addedAtLeastMilliamps(a, b),
  addedAtMost: (a, b) => physics.addedAtMostMilliamps(a, b),
  condensing: physics.condensingGramsPerSquareMetreHour,
  creepage: (a) => physics.creepageMillimetres(a, 3, 'II', 'straight-line'),
  deposition: (a) => physics.depositionPointCelsius(a),
  dewPoint: (a) => physics.dewPointCelsius(a),
  dewPointError: (a, b) => physics.dewPointErrorKelvin(a, b),
  dewPointMargin: (a, b) => physics.dewPointMarginKelvin(a, b),
  excess: physics.vapourPressureExcessPascals,
  excessError: (a, b) => physics.vapourPressureExcessErrorPascals(a, b),
  frostPoint: (a) => physics.frostPointCelsius(a),
  fuseSize: (a, b, c) => physics.judgeFuseSize(a, b, c),
  growth: (a) => physics.saturationGrowthPerKelvin(a),
  highestVolts: (a) => physics.highestTrackVolts('ungrounded', 'a', a),
  humidity: (a, b) => physics.relativeHumidityPercent(a, b),
  leakageAtVolts: (a, b, c) => physics.leakageAtVoltsMilliamps(a, b, c),
  letThrough: (a, b) => physics.letThroughAmpsSquaredSeconds(a, b),
  limitedTrack: (a, b, c) => physics.limitedTrackMilliamps(a, b, c, 'capacitance'),
  maximumProtection: (a, b, c) => physics.maximumProtectionAmps([a, b, c]),
  megohms: (a, b) => physics.megohmsAtFortyCelsius(a, b, 'thermosetting'),
  minimumCircuit: (a, b, c) => physics.minimumCircuitAmps([a, b, c]),
  minimumWinding: (a) => physics.minimumWindingMegohms('old', a),
  motorDerating: (a) => physics.motorDeratingFactor(a),
  negativeSequence: (a, b, c) => physics.negativeSequencePercent(a, b, c),
  openLine: (a) => physics.openLineDeltaWindingAmps(a).high,
  openPhase: (a) => physics.openPhaseAmps('transformer-primary', a).high,
  polarization: (a, b) => physics.polarizationIndex(a, b),
  quadratureRest: (a, b) => physics.quadratureRestMilliamps(a, b),
  quadratureSum: (a, b) => physics.quadratureSumMilliamps(a, b),
  ratio: (a, b) => physics.humidityRatioKilogramsPerKilogram(a, b),
  ratioInverse: (a, b) => physics.vapourPressureOfRatioPascals(a, b),
  residual: (a, b, c) => physics.residualMilliamps(a, b, c),
  residualOfTracks: (a, b, c, d) => physics.residualOfTracksMilliamps('solid-wye', a, b, c, d),
  saturationIce: (a) => physics.saturationOverIcePascals(a),
  saturationWater: (a) => physics.saturationOverWaterPascals(a),
  sizeDown: (a) => physics.standardSizeDownAmps(a),
  sizeUp: (a) => physics.standardSizeUpAmps(a),
  standardAir: (a) => physics.standardAirPressurePascals(a),
  surface: (a) => physics.surfaceVapourPressurePascals(a),
  trackMilliamps: (a, b) => physics.trackMilliamps(a, b),
  trackOhms: (a, b) => physics.trackOhms(a, b),
  trackVolts: (a) => physics.trackVolts('high-leg-delta', 'b', a),
  trackWatts: (a, b) => physics.trackWatts(a, b),
  unbalance: (a, b, c) => physics.unbalancePercent(a, b, c),
  vapourPressure: (a, b) => physics.vapourPressurePascals(a, b),
  vapourPressureError: physics.vapourPressureErrorPascals,
  windingFactor: (a) => physics.windingTemperatureFactor(a, 'thermoplastic'),
  windingHeating: (a) => physics.windingHeatingPercent(a),
  worstTrack: (a, b) => physics.worstTrackAtMostOhms('corner-grounded-delta', a, b),
};

const EDGES = [NaN, Infinity, -Infinity, 0, -0, 1e-300, Number.MIN_VALUE, -1, 1e6, 1e300] as const;

const anyNumber = fc.oneof(
  fc.constantFrom(...EDGES),
  between(-200, 1200),
  between(0, 130_000),
  fc.double(),
);

describe('no NaN travels', () => {
  it.each(Object.entries(FUNCTIONS))('through %s: finite, or refused', (_name, call) => {
    fc.assert(
      fc.property(anyNumber, anyNumber, anyNumber, anyNumber, (a, b, c, d) => {
        try {
          const found = call(a, b, c, d);
          if (typeof found === 'number') expect(Number.isFinite(found)).toBe(true);
        } catch (error) {
          if (!(error instanceof physics.PhysicsRangeError)) throw error;
          expect(error.message.length).toBeGreaterThan(20);
          expect(physics.PHYSICS_RANGE_CODES).toContain(error.code);
        }
      }),
      { numRuns: 400 },
    );
  });

  it('through any first argument that is NaN', () => {
    for (const call of Object.values(FUNCTIONS)) {
      expect(() => call(NaN, 1, 1, 1)).toThrow(physics.PhysicsRangeError);
    }
  });
});
