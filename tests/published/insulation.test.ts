import {
  creepageMillimetres,
  leakageAtVoltsMilliamps,
  type MaterialGroup,
  materialGroupOf,
  megohmsAtFortyCelsius,
  minimumPolarizationIndex,
  minimumWindingMegohms,
  type PollutionDegree,
  polarizationIndex,
  quadratureSumMilliamps,
  trackVolts,
  windingTemperatureFactor,
} from '@lineside/physics';
import { describe, expect, it } from 'vitest';

describe('winding insulation of IEEE 43', () => {
  // 0.5^((40 - T) / 10), clause 6.3 of the 2000 edition; 177 Mohm is printed, the rest arithmetic.
  it.each([
    [100, 25, 0.35355339, 35.355339],
    [500, 25, 0.35355339, 176.776695],
    [200, 10, 0.125, 25],
    [50, 60, 4, 200],
  ])('%d Mohm at %d C, times %d, is %d Mohm at 40 C', (megohms, celsius, factor, atForty) => {
    const found = windingTemperatureFactor(celsius, 'thermoplastic');
    expect(Math.abs(found / factor - 1)).toBeLessThan(1e-8);
    const corrected = megohmsAtFortyCelsius(megohms, celsius, 'thermoplastic');
    expect(Math.abs(corrected / atForty - 1)).toBeLessThan(1e-8);
  });

  // Formula and table of the 2013 edition from memory; the table prints one decimal.
  it.each([
    [10, 0.7],
    [20, 0.8],
    [30, 0.9],
    [40, 1],
    [50, 1.5],
    [60, 2.3],
    [80, 4.6],
  ])('a thermosetting winding at %d C has the factor %d (from memory)', (celsius, factor) => {
    const found = windingTemperatureFactor(celsius, 'thermosetting');
    expect(Math.abs(found - factor)).toBeLessThan(0.0501);
  });

  it('asks 5.16 Mohm of an old winding of 4.16 kV (kV + 1)', () => {
    expect(minimumWindingMegohms('old', 4.16)).toBeCloseTo(5.16, 12);
  });

  it('asks 5 and 100 Mohm of random-wound and form-wound windings (from memory)', () => {
    expect(minimumWindingMegohms('random-wound', 0.48)).toBe(5);
    expect(minimumWindingMegohms('form-wound', 4.16)).toBe(100);
  });

  it('asks a polarization index of 1.5 in class A and 2 above (secondary source)', () => {
    expect(minimumPolarizationIndex('A')).toBe(1.5);
    expect([...'BFH'].map((letter) => minimumPolarizationIndex(letter as 'B'))).toEqual([2, 2, 2]);
  });

  it('takes no index of more than 5000 Mohm (from memory)', () => {
    expect(polarizationIndex(100, 250)).toBe(2.5);
    expect(polarizationIndex(5000, 10_000)).toBe(2);
    expect(polarizationIndex(5001, 10_000)).toBeNull();
  });
});

describe('creepage distances of IEC 60664-1:2020 table F.5', () => {
  // Two open copies of the table agree on every cell.
  const TABLE: readonly (readonly [number, readonly number[]])[] = [
    [125, [0.75, 1.05, 1.5, 1.9, 2.1, 2.4]],
    [160, [0.8, 1.1, 1.6, 2.0, 2.2, 2.5]],
    [200, [1.0, 1.4, 2.0, 2.5, 2.8, 3.2]],
    [250, [1.25, 1.8, 2.5, 3.2, 3.6, 4.0]],
    [320, [1.6, 2.2, 3.2, 4.0, 4.5, 5.0]],
    [400, [2.0, 2.8, 4.0, 5.0, 5.6, 6.3]],
    [500, [2.5, 3.6, 5.0, 6.3, 7.1, 8.0]],
    [630, [3.2, 4.5, 6.3, 8.0, 9.0, 10.0]],
    [800, [4.0, 5.6, 8.0, 10.0, 11.0, 12.5]],
    [1000, [5.0, 7.1, 10.0, 12.5, 14.0, 16.0]],
  ];
  const COLUMNS: readonly (readonly [PollutionDegree, MaterialGroup])[] = [
    [2, 'I'],
    [2, 'II'],
    [2, 'IIIa'],
    [3, 'I'],
    [3, 'II'],
    [3, 'IIIa'],
  ];

  it.each(TABLE)('at %d V are the printed ones', (volts, row) => {
    const found = COLUMNS.map(([degree, group]) => creepageMillimetres(volts, degree, group));
    expect(found).toEqual(row);
  });

  it('follow the rules of the table: V/100 in group III at degree 2', () => {
    // From 200 V; group III is twice group I. 320 and 630 V are preferred numbers: V/100 exactly.
    for (const [volts] of TABLE.filter(([row]) => row >= 200)) {
      const third = creepageMillimetres(volts, 2, 'IIIa');
      expect(third).toBe(volts / 100);
      // 630 V is rounded in the printed table: 3.2 for 3.15.
      expect(Math.abs(third - 2 * creepageMillimetres(volts, 2, 'I'))).toBeLessThan(0.11);
    }
  });

  it('of a contactor in a rooftop unit are 8 mm on 480 V and 10 mm on 600 V', () => {
    expect(creepageMillimetres(480, 3, 'IIIa')).toBe(8);
    expect(creepageMillimetres(480, 2, 'IIIa')).toBe(5);
    expect(creepageMillimetres(600, 3, 'IIIa')).toBe(10);
    expect(creepageMillimetres(600, 2, 'IIIa')).toBe(6.3);
  });

  it.each([
    [600, 'I'],
    [599, 'II'],
    [400, 'II'],
    [399, 'IIIa'],
    [175, 'IIIa'],
    [174, 'IIIb'],
    [100, 'IIIb'],
  ])('put a material of CTI %d into group %s', (index, group) => {
    expect(materialGroupOf(index)).toBe(group);
  });
});

describe('figures of the trade', () => {
  it('a track at 120 V leaks 0.43 of what it leaks at 277 V', () => {
    const volts = trackVolts('solid-wye', 'a', 208);
    const reference = trackVolts('solid-wye', 'a', 480);
    expect(Math.abs(leakageAtVoltsMilliamps(1, reference, volts) - 0.43)).toBeLessThan(0.005);
  });

  it('the high leg of 240 V is 208 V to ground, the others 120 V', () => {
    expect(Math.abs(trackVolts('high-leg-delta', 'b', 240) - 208)).toBeLessThan(0.5);
    expect(trackVolts('high-leg-delta', 'a', 240)).toBe(120);
  });

  // 346.4 V, which the trade calls 347.
  it('the named systems have their voltage to neutral: 277, 346 and 120 V', () => {
    const found = [480, 600, 208].map((volts) => trackVolts('solid-wye', 'c', volts));
    expect(found.map(Math.round)).toEqual([277, 346, 120]);
  });

  it('10 mA of filter current and a 3 mA track in quadrature read 10.4 mA', () => {
    expect(quadratureSumMilliamps(10, 3).toFixed(1)).toBe('10.4');
  });
});
