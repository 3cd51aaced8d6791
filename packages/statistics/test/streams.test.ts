import {
  median,
  p2Quantile,
  p2Start,
  p2Step,
  type RobustLevelSettings,
  robustLevel,
} from '@lineside/statistics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { normalNoise, uniformNumbers } from './normal-noise.ts';

const throughJson = <State>(state: State): State => JSON.parse(JSON.stringify(state)) as State;
const numbers = fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), {
  minLength: 1,
  maxLength: 80,
});

describe('the P2 quantile', () => {
  it('is exact up to five values', () => {
    expect(p2Quantile(p2Start(0.5))).toBeNull();
    fc.assert(
      fc.property(numbers, (values) => {
        const few = values.slice(0, 5);
        expect(p2Quantile(few.reduce(p2Step, p2Start(0.5)))).toBeCloseTo(median(few), 6);
      }),
    );
  });

  it('keeps its markers in order, its ends exact, and survives JSON', () => {
    fc.assert(
      fc.property(numbers, fc.double({ min: 0.01, max: 0.99, noNaN: true }), (values, share) => {
        let state = p2Start(share);
        for (const value of values) state = p2Step(throughJson(state), value);
        expect(state).toEqual(values.reduce(p2Step, p2Start(share)));
        expect(state.heights).toEqual(state.heights.toSorted((a, b) => a - b));
        expect(state.heights.length).toBeLessThanOrEqual(5);
        expect(state.heights[0]).toBe(Math.min(...values));
        expect(state.heights.at(-1)).toBe(Math.max(...values));
        expect(state.places.at(-1)).toBe(state.count);
      }),
    );
  });

  it.each([0.1, 0.5, 0.9, 0.99])('has a share near %f below it in smooth streams', (share) => {
    const streams = [
      uniformNumbers(5000, 1),
      normalNoise(5000, 2),
      uniformNumbers(5000, 3).map((part) => -Math.log(part)),
    ];
    for (const values of streams) {
      const found = p2Quantile(values.reduce(p2Step, p2Start(share))) ?? Number.NaN;
      const below = values.filter((value) => value <= found).length / values.length;
      expect(Math.abs(below - share)).toBeLessThan(0.01);
    }
  });

  it('refuses what is no share and no number', () => {
    expect(() => p2Start(1)).toThrow('share must be more than 0 and less than 1, got 1');
    expect(() => p2Step(p2Start(0.5), Number.NaN)).toThrow(
      'value must be a number of -1e100 to 1e100',
    );
  });
});

const settings: RobustLevelSettings = {
  startValues: 15,
  settleValues: 300,
  leastWeight: 0.01,
  clipSigmas: 2,
  leastSpread: 0.01,
  reachSigmas: 3,
  mostSpreadRatio: 2,
};
const tracker = robustLevel(settings);
const run = (values: readonly number[]) => values.reduce(tracker.step, tracker.start);

describe('the robust level of a stream', () => {
  it('finds mean and standard deviation of normal noise', () => {
    const end = run(normalNoise(5000, 21).map((value) => 40 + 3 * value));
    expect(Math.abs(end.level - 40)).toBeLessThan(0.9);
    expect(Math.abs(end.spread / 3 - 1)).toBeLessThan(0.25);
    expect(tracker.isHeld(end)).toBe(false);
  });

  it('stays near although a tenth of the values are wild', () => {
    const wild = uniformNumbers(5000, 5);
    const values = normalNoise(5000, 22).map((value, index) => (wild[index]! < 0.1 ? 1e6 : value));
    const end = run(values);
    expect(Math.abs(end.level)).toBeLessThan(0.8);
    expect(end.spread).toBeLessThan(2);
  });

  it('cannot be dragged by a fault that grows as slowly as it likes', () => {
    for (const perValue of [0.0003, 0.001, 0.01, 1, 1000]) {
      const learned = run(normalNoise(300, 23));
      const { anchor } = learned;
      let state = learned;
      for (const [index, noise] of normalNoise(20_000, 24).entries()) {
        state = tracker.step(state, noise + perValue * index);
      }
      expect(state.anchor).toEqual(anchor);
      expect(state.level - anchor!.level).toBeLessThanOrEqual(3 * anchor!.spread + 1e-9);
      expect(state.spread).toBeLessThanOrEqual(2 * anchor!.spread + 1e-9);
      expect(tracker.isHeld(state)).toBe(true);
    }
  });

  it('moves by a bounded step whatever comes', () => {
    fc.assert(
      fc.property(fc.double({ min: -1e99, max: 1e99, noNaN: true }), (value) => {
        const before = run(normalNoise(400, 25));
        const after = tracker.step(before, value);
        expect(Math.abs(after.level - before.level)).toBeLessThanOrEqual(
          0.01 * 2 * before.spread * (1 + 1e-9),
        );
      }),
    );
  });

  it('moves and stretches with its values', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 50 }),
        fc.integer({ min: -100, max: 100 }),
        (scale, shift) => {
          const values = normalNoise(400, 26);
          const plain = run(values);
          const moved = robustLevel({ ...settings, leastSpread: 0.01 * scale });
          const end = values.map((value) => scale * value + shift).reduce(moved.step, moved.start);
          expect(end.level).toBeCloseTo(scale * plain.level + shift, 8);
          expect(end.spread).toBeCloseTo(scale * plain.spread, 8);
        },
      ),
    );
  });

  it('starts from the median of the first values and keeps no more of them', () => {
    const first = [5, 1, 1e9, 2, 3, 4, 6, -1e9, 7, 8, 9, 10, 11, 12, 13];
    const early = run(first.slice(0, 14));
    expect(early).toMatchObject({ count: 14, level: 0, spread: 0.01, anchor: null });
    expect(run(first)).toMatchObject({ count: 15, first: [], level: 7 });
  });

  it('never has a spread below the least one', () => {
    const end = run(new Array(1000).fill(7));
    expect(end).toMatchObject({ level: 7, spread: 0.01 });
  });

  it('goes on the same from a state that went through JSON', () => {
    const values = normalNoise(400, 27);
    let stored = tracker.start;
    for (const value of values) stored = tracker.step(throughJson(stored), value);
    expect(stored).toEqual(run(values));
  });

  it('refuses settings outside their ranges and what is no number', () => {
    expect(() => robustLevel({ ...settings, startValues: 4 })).toThrow('startValues');
    expect(() => robustLevel({ ...settings, settleValues: 14 })).toThrow('settleValues');
    expect(() => robustLevel({ ...settings, leastWeight: 0.3 })).toThrow('leastWeight must be 0');
    expect(() => robustLevel({ ...settings, leastWeight: 0 })).toThrow('leastWeight');
    expect(() => robustLevel({ ...settings, clipSigmas: Number.NaN })).toThrow('clipSigmas');
    expect(() => robustLevel({ ...settings, leastSpread: 0 })).toThrow('leastSpread');
    expect(() => robustLevel({ ...settings, reachSigmas: -1 })).toThrow('reachSigmas');
    expect(() => robustLevel({ ...settings, mostSpreadRatio: 0.5 })).toThrow('mostSpreadRatio');
    expect(() => tracker.step(tracker.start, Number.NaN)).toThrow(
      'value must be a number of -1e100 to 1e100',
    );
  });
});
