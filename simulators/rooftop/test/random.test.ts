import { describe, expect, it } from 'vitest';
import { Drift } from '../src/world/drift.ts';
import { randomStream } from '../src/world/random.ts';
import { mean } from './small-world.ts';

function draws(seed: number, name: string, count: number): number[] {
  const stream = randomStream(seed, name);
  return Array.from({ length: count }, () => stream.uniform());
}

describe('random streams', () => {
  it('repeat for the same seed and name, and differ for another of either', () => {
    expect(draws(7, 'wind', 50)).toEqual(draws(7, 'wind', 50));
    expect(draws(7, 'wind', 50)).not.toEqual(draws(8, 'wind', 50));
    expect(draws(7, 'wind', 50)).not.toEqual(draws(7, 'rain', 50));
  });

  it('are not shifted by draws from another stream', () => {
    const alone = draws(1, 'a', 10);
    const stream = randomStream(1, 'a');
    const other = randomStream(1, 'b');
    const mixed = alone.map(() => {
      other.gauss();
      return stream.uniform();
    });
    expect(mixed).toEqual(alone);
  });

  it('are even over 0 to 1', () => {
    const values = draws(3, 'even', 40_000);
    expect(mean(values)).toBeCloseTo(0.5, 1);
    expect(mean(values.map((value) => (value - 0.5) ** 2))).toBeCloseTo(1 / 12, 2);
    const lowTenth = values.filter((value) => value < 0.1).length / values.length;
    expect(lowTenth).toBeGreaterThan(0.09);
    expect(lowTenth).toBeLessThan(0.11);
  });

  it('give normal and Poisson numbers with the right mean and spread', () => {
    const stream = randomStream(5, 'shapes');
    const normal = Array.from({ length: 40_000 }, () => stream.gauss());
    expect(Math.abs(mean(normal))).toBeLessThan(0.02);
    expect(mean(normal.map((value) => value * value))).toBeCloseTo(1, 1);
    for (const wanted of [0.4, 6, 80]) {
      const counts = Array.from({ length: 20_000 }, () => stream.poisson(wanted));
      const average = mean(counts);
      expect(Math.abs(average - wanted)).toBeLessThan(0.05 * wanted + 0.02);
      expect(counts.every((count) => Number.isInteger(count) && count >= 0)).toBe(true);
      const variance = mean(counts.map((count) => (count - average) ** 2));
      expect(variance / wanted).toBeGreaterThan(0.9);
      expect(variance / wanted).toBeLessThan(1.1);
    }
  });
});

describe('a drift', () => {
  it('keeps its spread for any step width', () => {
    for (const stepSeconds of [10, 60, 3600]) {
      const drift = new Drift(randomStream(2, `drift ${stepSeconds}`), 600, 2);
      const values = Array.from({ length: 60_000 }, () => drift.step(stepSeconds));
      const spread = Math.sqrt(mean(values.map((value) => value * value)));
      expect(spread).toBeGreaterThan(1.75);
      expect(spread).toBeLessThan(2.25);
    }
  });
});
