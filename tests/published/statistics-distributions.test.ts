/** Quantiles and intervals against printed tables. */
import {
  normalCdf,
  normalQuantile,
  studentTCdf,
  studentTQuantile,
  wilsonInterval,
} from '@lineside/statistics';
import { describe, expect, it } from 'vitest';

describe('normal and Student quantiles', () => {
  it('agree with the values that Wichura (1988, AS 241) prints (from memory)', () => {
    expect(normalQuantile(0.25)).toBeCloseTo(-0.6744897501960817, 15);
    expect(normalQuantile(0.001)).toBeCloseTo(-3.090232306167814, 14);
    expect(normalQuantile(1e-20)).toBeCloseTo(-9.26234008979841, 13);
  });

  it.each([
    [0.5, 0.69146],
    [1, 0.84134],
    [1.64, 0.9495],
    [2, 0.97725],
    [3, 0.99865],
  ])('agree with the NIST/SEMATECH e-Handbook 1.3.6.7.1 at z = %f (from memory)', (z, p) => {
    expect(normalCdf(z)).toBeCloseTo(p, 5);
  });

  it.each([
    [1, 6.314, 12.706],
    [2, 2.92, 4.303],
    [5, 2.015, 2.571],
    [10, 1.812, 2.228],
    [30, 1.697, 2.042],
    [100, 1.66, 1.984],
  ])(
    'agree with the NIST/SEMATECH e-Handbook 1.3.6.7.2 at %i degrees of freedom (from memory)',
    (freedom, at95, at975) => {
      expect(studentTQuantile(0.95, freedom)).toBeCloseTo(at95, 3);
      expect(studentTQuantile(0.975, freedom)).toBeCloseTo(at975, 3);
      expect(studentTCdf(at975, freedom)).toBeCloseTo(0.975, 4);
    },
  );
});

describe('the Wilson interval', () => {
  it.each([
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ])(
    'agrees with Newcombe (1998, Stat. Med. 17, table I, method 3; from memory) for %i of %i',
    (hits, of, low, high) => {
      const interval = wilsonInterval(hits, of);
      expect(interval.low).toBeCloseTo(low, 4);
      expect(interval.high).toBeCloseTo(high, 4);
    },
  );
});
