import {
  degreesOf,
  magnitudeOf,
  negativeSequencePercent,
  openLineDeltaWindingAmps,
  openPhaseAmps,
  type Phasor,
  phasorOf,
  recomposedPhasors,
  sequenceUnbalancePercent,
  symmetricalComponents,
  unbalancePercent,
} from '@lineside/physics';
import { describe, expect, it } from 'vitest';

interface Published {
  readonly magnitude: number;
  readonly degrees: number;
}

function expectPhasor(found: Phasor, published: Published, unit: number, degrees: number): void {
  expect(Math.abs(magnitudeOf(found) - published.magnitude)).toBeLessThan(unit);
  const apart = Math.abs(degreesOf(found) - published.degrees) % 360;
  expect(Math.min(apart, 360 - apart)).toBeLessThan(degrees);
}

const ZERO: Phasor = { real: 0, imaginary: 0 };

describe('symmetrical components of textbooks', () => {
  it('solve Gönen, Electric Power Transmission System Engineering, example 9.1', () => {
    const { zero, positive, negative } = symmetricalComponents({
      a: phasorOf(7.3, 12.5),
      b: phasorOf(0.4, -100),
      c: phasorOf(4.4, 154),
    });
    // Printed answers 3.97 at 260.5 (phase b) and 2.52 at 220.3 (phase c), so two decimals.
    expectPhasor(positive, { magnitude: 3.97, degrees: 20.5 }, 0.005, 0.05);
    expectPhasor(negative, { magnitude: 2.52, degrees: -19.7 }, 0.005, 0.05);
    const phases = recomposedPhasors({ zero: ZERO, positive, negative: ZERO });
    expectPhasor(phases.b, { magnitude: 3.97, degrees: 260.5 }, 0.005, 0.05);
    const backwards = recomposedPhasors({ zero: ZERO, positive: ZERO, negative });
    expectPhasor(backwards.c, { magnitude: 2.52, degrees: 220.3 }, 0.005, 0.05);
    // Evaluated independently, not printed in the book.
    expectPhasor(zero, { magnitude: 1.465535, degrees: 45.1116 }, 1e-6, 1e-4);
  });

  it('solve the delta currents of Chakrabarti et al., Power System Engineering, example 3.4', () => {
    // The input is the book's; the result was evaluated independently.
    const { zero, positive, negative } = symmetricalComponents({
      a: phasorOf(20, 180),
      b: phasorOf(10, 60),
      c: phasorOf(5, -60),
    });
    expectPhasor(zero, { magnitude: 4.409586, degrees: 160.893 }, 1e-6, 1e-3);
    expectPhasor(positive, { magnitude: 11.666667, degrees: 180 }, 1e-6, 1e-6);
    expectPhasor(negative, { magnitude: 4.409586, degrees: -160.893 }, 1e-6, 1e-3);
  });

  it('solve the open line of Grainger and Stevenson, example 11.1', () => {
    // 10 / sqrt(3) exactly; the book prints 5.78 at -30 and 30 degrees (from memory).
    const { zero, positive, negative } = symmetricalComponents({
      a: phasorOf(10, 0),
      b: phasorOf(10, 180),
      c: phasorOf(0, 0),
    });
    expect(magnitudeOf(zero)).toBeLessThan(1e-9);
    expectPhasor(positive, { magnitude: 10 / Math.sqrt(3), degrees: -30 }, 1e-9, 1e-6);
    expectPhasor(negative, { magnitude: 10 / Math.sqrt(3), degrees: 30 }, 1e-9, 1e-6);
  });

  it('split 10, 8 and 9 A at 120 degrees into 0.577, 9 and 0.577 A, 6.415 % unbalance', () => {
    const components = symmetricalComponents({
      a: phasorOf(10, 0),
      b: phasorOf(8, -120),
      c: phasorOf(9, 120),
    });
    expectPhasor(components.zero, { magnitude: 0.57735, degrees: 30 }, 1e-6, 1e-4);
    expectPhasor(components.positive, { magnitude: 9, degrees: 0 }, 1e-9, 1e-6);
    expectPhasor(components.negative, { magnitude: 0.57735, degrees: -30 }, 1e-6, 1e-4);
    expect(Math.abs(sequenceUnbalancePercent(components) - 6.415)).toBeLessThan(5e-4);
  });

  it('agree with the formula from magnitudes for phasors that sum to zero (17.146824 %)', () => {
    const a = phasorOf(10, 0);
    const b = phasorOf(8, -130);
    const c = { real: -a.real - b.real, imaginary: -a.imaginary - b.imaginary };
    expectPhasor(c, { magnitude: 7.820101, degrees: 128.4024 }, 1e-6, 1e-4);
    const fromPhasors = sequenceUnbalancePercent(symmetricalComponents({ a, b, c }));
    const fromMagnitudes = negativeSequencePercent(10, 8, magnitudeOf(c));
    expect(Math.abs(fromPhasors - 17.146824)).toBeLessThan(1e-6);
    expect(Math.abs(fromMagnitudes - 17.146824)).toBeLessThan(1e-6);
    expect(Math.abs(unbalancePercent(10, 8, magnitudeOf(c)) - 16.188545)).toBeLessThan(1e-6);
  });
});

describe('a motor that lost a phase', () => {
  it('carries 173 % in the two lines left, at the same power of two lines as of three', () => {
    // P = sqrt(3) U I = U I'; the figure is common in the trade and from memory.
    const { low, middle, high } = openPhaseAmps('line', 20);
    expect(low).toBe(0);
    expect(Math.abs(middle / 20 - 1.732)).toBeLessThan(1e-3);
    expect(middle).toBe(high);
    expect(480 * high).toBeCloseTo(Math.sqrt(3) * 480 * 20, 9);
  });

  it('carries 115, 115 and 230 % behind a delta-wye transformer (from memory)', () => {
    const { low, middle, high } = openPhaseAmps('transformer-primary', 100);
    expect([low, middle, high].map(Math.round)).toEqual([115, 115, 231]);
    expect(unbalancePercent(low, middle, high)).toBeCloseTo(50, 9);
    expect(negativeSequencePercent(low, middle, high)).toBeCloseTo(100, 9);
  });

  it('has the pattern behind the transformer that shifted sequences give', () => {
    // Twice the balanced current in two primary lines, which a delta-wye transformer turns by 30
    // degrees forward in the positive and back in the negative sequence.
    const primary = symmetricalComponents({
      a: phasorOf(200, 0),
      b: phasorOf(200, 180),
      c: phasorOf(0, 0),
    });
    const secondary = recomposedPhasors({
      zero: ZERO,
      positive: phasorOf(magnitudeOf(primary.positive), degreesOf(primary.positive) + 30),
      negative: phasorOf(magnitudeOf(primary.negative), degreesOf(primary.negative) - 30),
    });
    const found = [secondary.a, secondary.b, secondary.c]
      .map(magnitudeOf)
      .toSorted((first, second) => first - second);
    const { low, middle, high } = openPhaseAmps('transformer-primary', 100);
    expect(found[0]).toBeCloseTo(low, 9);
    expect(found[1]).toBeCloseTo(middle, 9);
    expect(found[2]).toBeCloseTo(high, 9);
  });

  it('carries 100, 100 and 200 % in the windings of a delta', () => {
    const usualWindingAmps = 20 / Math.sqrt(3);
    const { low, middle, high } = openLineDeltaWindingAmps(openPhaseAmps('line', 20).high);
    expect(low / usualWindingAmps).toBeCloseTo(1, 9);
    expect(middle / usualWindingAmps).toBeCloseTo(1, 9);
    expect(high / usualWindingAmps).toBeCloseTo(2, 9);
    expect(high / 20).toBeCloseTo(1.1547, 4);
  });
});
