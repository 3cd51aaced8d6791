import {
  degreesOf,
  magnitudeOf,
  magnitudesClose,
  negativeSequencePercent,
  type PhasePhasors,
  type Phasor,
  PhysicsRangeError,
  phasorOf,
  recomposedPhasors,
  sequenceUnbalancePercent,
  symmetricalComponents,
} from '@lineside/physics';
import { Complex } from 'complex.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from './between.ts';

const part = between(-1000, 1000);
const phasor = fc.record({ real: part, imaginary: part });
const phases = fc.record({ a: phasor, b: phasor, c: phasor });
const magnitude = between(0.1, 1000);

function distance(first: Phasor, second: { readonly re: number; readonly im: number }): number {
  return Math.hypot(first.real - second.re, first.imaginary - second.im);
}

function asComplex({ real, imaginary }: Phasor): Complex {
  return new Complex(real, imaginary);
}

function fortescueByComplex({ a, b, c }: PhasePhasors): readonly [Complex, Complex, Complex] {
  const turn = new Complex({ abs: 1, arg: (2 * Math.PI) / 3 });
  const [first, second, third] = [asComplex(a), asComplex(b), asComplex(c)];
  return [
    first.add(second).add(third).div(3),
    first.add(second.mul(turn)).add(third.mul(turn).mul(turn)).div(3),
    first.add(second.mul(turn).mul(turn)).add(third.mul(turn)).div(3),
  ];
}

describe('symmetrical components', () => {
  it('are those of a library for complex numbers (complex.js 2.4.3, 1e-9 of 1000)', () => {
    fc.assert(
      fc.property(phases, (three) => {
        const { zero, positive, negative } = symmetricalComponents(three);
        const [zeroReference, positiveReference, negativeReference] = fortescueByComplex(three);
        expect(distance(zero, zeroReference)).toBeLessThan(1e-9);
        expect(distance(positive, positiveReference)).toBeLessThan(1e-9);
        expect(distance(negative, negativeReference)).toBeLessThan(1e-9);
      }),
    );
  });

  it('recompose to the phasors they came from', () => {
    fc.assert(
      fc.property(phases, (three) => {
        const back = recomposedPhasors(symmetricalComponents(three));
        for (const name of ['a', 'b', 'c'] as const) {
          expect(distance(back[name], asComplex(three[name]))).toBeLessThan(1e-9);
        }
      }),
    );
  });

  it('of a balanced system are its positive sequence alone', () => {
    const components = symmetricalComponents({
      a: phasorOf(277, 10),
      b: phasorOf(277, -110),
      c: phasorOf(277, 130),
    });
    expect(magnitudeOf(components.positive)).toBeCloseTo(277, 9);
    expect(magnitudeOf(components.zero)).toBeLessThan(1e-9);
    expect(sequenceUnbalancePercent(components)).toBeLessThan(1e-9);
  });

  it('keep a magnitude and an angle through a phasor', () => {
    fc.assert(
      fc.property(magnitude, between(-179, 179), (size, degrees) => {
        const found = phasorOf(size, degrees);
        expect(Math.abs(magnitudeOf(found) / size - 1)).toBeLessThan(1e-12);
        expect(Math.abs(degreesOf(found) - degrees)).toBeLessThan(1e-9);
      }),
    );
  });

  it('refuse what is not a number, and an unbalance without a positive sequence', () => {
    const one = phasorOf(1, 0);
    const none = { real: 0, imaginary: 0 };
    const broken = { real: Number.NaN, imaginary: 0 };
    expect(() => symmetricalComponents({ a: one, b: broken, c: one })).toThrow(
      'real part of phase b',
    );
    expect(() => recomposedPhasors({ zero: one, positive: one, negative: broken })).toThrow(
      'negative sequence',
    );
    expect(() => phasorOf(-1, 0)).toThrow(PhysicsRangeError);
    expect(() => phasorOf(1, Infinity)).toThrow('angle in degrees');
    expect(() => sequenceUnbalancePercent({ zero: one, positive: none, negative: one })).toThrow(
      'without a positive sequence',
    );
  });
});

/** The formula as the standard prints it. */
function printedNegativeSequence(a: number, b: number, c: number): number {
  const beta = (a ** 4 + b ** 4 + c ** 4) / (a ** 2 + b ** 2 + c ** 2) ** 2;
  const root = Math.sqrt(Math.max(0, Math.min(1, 3 - 6 * beta)));
  return 100 * Math.sqrt((1 - root) / (1 + root));
}

describe('negative sequence from magnitudes', () => {
  it('is that of the phasors, whichever sum to zero', () => {
    fc.assert(
      fc.property(phasor, phasor, (a, b) => {
        const c = { real: -a.real - b.real, imaginary: -a.imaginary - b.imaginary };
        const [first, second, third] = [a, b, c].map(magnitudeOf);
        fc.pre(first !== undefined && second !== undefined && third !== undefined);
        fc.pre(Math.max(first, second, third) > 1e-3);
        const components = symmetricalComponents({ a, b, c });
        const forward = magnitudeOf(components.positive);
        const backward = magnitudeOf(components.negative);
        // Magnitudes cannot tell which way round the phases run: the smaller one is meant.
        const expected = (100 * Math.min(forward, backward)) / Math.max(forward, backward);
        // Near 100 % the area of a flat triangle is the root of a rounding error.
        expect(Math.abs(negativeSequencePercent(first, second, third) - expected)).toBeLessThan(
          1e-4,
        );
      }),
    );
  });

  it('is the printed formula, away from balance where that loses its digits', () => {
    fc.assert(
      fc.property(between(0.8, 0.98), magnitude, (share, size) => {
        const found = negativeSequencePercent(size, size, share * size);
        expect(Math.abs(found - printedNegativeSequence(size, size, share * size))).toBeLessThan(
          1e-6,
        );
      }),
    );
  });

  it('keeps its digits near balance: a millionth more in one line is 6.7e-5 %', () => {
    // For one line of 1 + e it is 2e/3 to the first order: e = 1e-6 gives 6.67e-5 %.
    expect(negativeSequencePercent(1 + 1e-6, 1, 1) / (2e-4 / 3)).toBeCloseTo(1, 5);
    expect(negativeSequencePercent(480, 480, 480)).toBe(0);
  });

  it('does not depend on order or scale and stays within 0 and 100 %', () => {
    fc.assert(
      fc.property(magnitude, magnitude, magnitude, (a, b, c) => {
        fc.pre(magnitudesClose(a, b, c));
        const percent = negativeSequencePercent(a, b, c);
        expect(percent).toBeGreaterThanOrEqual(0);
        expect(percent).toBeLessThanOrEqual(100);
        expect(negativeSequencePercent(c, a, b)).toBeCloseTo(percent, 5);
        expect(negativeSequencePercent(7 * b, 7 * a, 7 * c)).toBeCloseTo(percent, 5);
      }),
    );
  });

  it('takes a lost phase with the errors of its sensors for a lost phase', () => {
    expect(magnitudesClose(34.6, 34.1, 0.05)).toBe(true);
    expect(negativeSequencePercent(34.6, 34.1, 0.05)).toBeGreaterThan(98);
  });

  it('refuses magnitudes that cannot close, and zeros', () => {
    expect(magnitudesClose(10, 2, 2)).toBe(false);
    expect(() => negativeSequencePercent(10, 2, 2)).toThrow('cannot sum to zero');
    expect(() => negativeSequencePercent(0, 0, 0)).toThrow('three zeros');
    expect(() => negativeSequencePercent(1, Number.NaN, 1)).toThrow('second magnitude');
    expect(() => magnitudesClose(1, 1, -1)).toThrow('third magnitude');
  });
});
