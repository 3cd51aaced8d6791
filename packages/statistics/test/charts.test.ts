import { cusum, cusumRunLength, ewmaChart, pageHinkley } from '@lineside/statistics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { normalNoise } from './normal-noise.ts';

const deviations = fc.array(fc.double({ min: -6, max: 6, noNaN: true }), { maxLength: 60 });
const cusumChart = cusum({ slackSigmas: 0.5, limitSigmas: 4, resetAfterSignal: true });
const ewma = ewmaChart({ weight: 0.2, limitSigmas: 3 });
const hinkley = pageHinkley({ tolerance: 0.1, limit: 5, resetAfterSignal: true });

const throughJson = <State>(state: State): State => JSON.parse(JSON.stringify(state)) as State;

describe.each([
  ['cusum', cusumChart],
  ['EWMA chart', ewma],
  ['Page-Hinkley test', hinkley],
])('the %s', (_, chart: { start: unknown; step: (state: never, value: number) => unknown }) => {
  it('goes on the same from a state that went through JSON', () => {
    fc.assert(
      fc.property(deviations, (values) => {
        let kept = chart.start;
        let stored = chart.start;
        for (const value of values) {
          kept = chart.step(kept as never, value);
          stored = chart.step(throughJson(stored) as never, value);
        }
        expect(stored).toEqual(kept);
      }),
    );
  });

  it('refuses what is no number and leaves its state as it was', () => {
    const before = throughJson(chart.start);
    expect(() => chart.step(chart.start as never, Number.NaN)).toThrow(
      'must be a number of -1e100 to 1e100',
    );
    expect(chart.start).toEqual(before);
  });
});

describe('the cusum', () => {
  it('is the largest sum of excess over any stretch up to now', () => {
    const chart = cusum({ slackSigmas: 0.5, limitSigmas: 4, resetAfterSignal: false });
    fc.assert(
      fc.property(deviations, (values) => {
        const end = values.reduce(chart.step, chart.start);
        let best = 0;
        let sum = 0;
        for (const value of values.toReversed()) {
          sum += value - 0.5;
          best = Math.max(best, sum);
        }
        expect(end.high).toBeCloseTo(best, 9);
      }),
    );
  });

  it('mirrors up and down', () => {
    fc.assert(
      fc.property(deviations, (values) => {
        const up = values.reduce(cusumChart.step, cusumChart.start);
        const down = values.map((value) => -value).reduce(cusumChart.step, cusumChart.start);
        expect(down.low).toBeCloseTo(up.high, 9);
        expect(down.signal).toBe(up.signal && (up.signal === 'up' ? 'down' : 'up'));
      }),
    );
  });

  it('says how long ago the shift began', () => {
    const values = [0, 0, 0, 1.5, 1.5, 1.5, 1.5, 1.5];
    const end = values.reduce(cusumChart.step, cusumChart.start);
    expect(end).toMatchObject({ signal: 'up', highRun: 5, high: 5 });
  });

  it('starts again after a signal when asked to', () => {
    const signalled = cusumChart.step(cusumChart.start, 9);
    expect(signalled.signal).toBe('up');
    expect(cusumChart.step(signalled, 1)).toMatchObject({ high: 0.5, highRun: 1, signal: null });
  });

  it('signals about as often in noise as its run length says', () => {
    let state = cusumChart.start;
    let signals = 0;
    for (const value of normalNoise(40_000, 11)) {
      state = cusumChart.step(state, value);
      if (state.signal !== null) signals += 1;
    }
    const expected = cusumRunLength({ slackSigmas: 0.5, limitSigmas: 4 }, 0);
    expect(Math.abs(40_000 / signals / expected - 1)).toBeLessThan(0.25);
  });

  it('refuses settings that make no chart', () => {
    const settings = { slackSigmas: 0.5, limitSigmas: 4, resetAfterSignal: false };
    expect(() => cusum({ ...settings, slackSigmas: -1 })).toThrow('slackSigmas must be 0 to 100');
    expect(() => cusum({ ...settings, limitSigmas: 0 })).toThrow(RangeError);
    expect(() => cusumRunLength(settings, Number.NaN)).toThrow('shiftSigmas');
  });
});

describe('the EWMA chart', () => {
  it('weighs each value by its age', () => {
    fc.assert(
      fc.property(deviations, (values) => {
        const end = values.reduce(ewma.step, ewma.start);
        const sum = values
          .toReversed()
          .reduce((total, value, age) => total + 0.2 * 0.8 ** age * value, 0);
        expect(end.level).toBeCloseTo(sum, 9);
      }),
    );
  });

  it('has the variance of that sum in its limits', () => {
    let state = ewma.start;
    let variance = 0;
    for (let count = 1; count <= 30; count += 1) {
      state = ewma.step(state, 0);
      variance = variance * 0.64 + 0.04;
      expect(state.limit).toBeCloseTo(3 * Math.sqrt(variance), 12);
    }
  });

  it('finds a small lasting shift the finer it averages, on its side', () => {
    // A level of -1 is 3 deviations of this average only at a weight below 0.2.
    expect(new Array(40).fill(-1).reduce(ewma.step, ewma.start).signal).toBeNull();
    const finer = ewmaChart({ weight: 0.1, limitSigmas: 3 });
    expect(new Array(40).fill(-1).reduce(finer.step, finer.start).signal).toBe('down');
    expect([0, 0, 3.5, 3.5].reduce(ewma.step, ewma.start).signal).toBe('up');
    expect([0, 0, -3.5, -3.5].reduce(ewma.step, ewma.start).signal).toBe('down');
  });

  it('refuses settings that make no chart', () => {
    expect(() => ewmaChart({ weight: 0, limitSigmas: 3 })).toThrow('weight');
    expect(() => ewmaChart({ weight: 0.2, limitSigmas: -3 })).toThrow('limitSigmas');
  });
});

describe('the Page-Hinkley test', () => {
  it('does not care where the values lie', () => {
    fc.assert(
      fc.property(deviations, (values) => {
        const plain = values.reduce(hinkley.step, hinkley.start);
        const moved = values.map((value) => value + 100).reduce(hinkley.step, hinkley.start);
        expect(moved.excess).toBeCloseTo(plain.excess, 6);
      }),
    );
  });

  it('stays silent in a fall and signals in a rise, then learns anew', () => {
    const fall = [5, 5, 5, 5, 1, 1, 1, 1, 1, 1];
    const rise = [1, 1, 1, 1, 5, 5, 5, 5];
    expect(fall.reduce(hinkley.step, hinkley.start).signal).toBe(false);
    let state = hinkley.start;
    const signals = rise.map((value) => {
      state = hinkley.step(state, value);
      return state.signal;
    });
    expect(signals).toEqual([false, false, false, false, false, true, false, false]);
    expect(state).toMatchObject({ count: 2, mean: 5 });
  });

  it('refuses settings that make no test', () => {
    const settings = { tolerance: 0, limit: 1, resetAfterSignal: false };
    expect(() => pageHinkley({ ...settings, tolerance: -1 })).toThrow('tolerance');
    expect(() => pageHinkley({ ...settings, limit: 0 })).toThrow('limit');
  });
});
