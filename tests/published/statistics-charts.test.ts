/** Control charts against worked examples of textbooks and handbooks. */
import { cusum, cusumRunLength, ewmaChart, pageHinkley } from '@lineside/statistics';
import { describe, expect, it } from 'vitest';

function walk<State>(
  start: State,
  values: readonly number[],
  step: (s: State, v: number) => State,
) {
  const states: State[] = [];
  let state = start;
  for (const value of values) {
    state = step(state, value);
    states.push(state);
  }
  return states;
}

const plain = { resetAfterSignal: false };

describe('the tabular cusum', () => {
  it('agrees with Montgomery & Runger, example 16-6, tables 16-7 and 16-8', () => {
    const values = [
      102.0, 94.8, 98.3, 98.4, 102.0, 98.5, 99.0, 97.7, 100.0, 98.1, 101.3, 98.7, 101.1, 98.4, 97.0,
      96.7, 100.3, 101.4, 97.2, 101.0,
    ];
    const high = [2, 0, 0, 0, 2, 0.5, 0, 0, 0, 0, 1.3, 0, 1.1, 0, 0, 0, 0.3, 1.7, 0, 1];
    const low = [0, 3.2, 2.9, 2.5, 0, 0, 0, 0.3, 0, 0, 0, 0, 0, 0, 1, 2.3, 0, 0, 0.8, 0];
    const chart = cusum({ slackSigmas: 1, limitSigmas: 10, ...plain });
    const states = walk(
      chart.start,
      values.map((value) => value - 99),
      chart.step,
    );
    for (const [index, state] of states.entries()) {
      expect(state.high).toBeCloseTo(high[index]!, 10);
      expect(state.low).toBeCloseTo(low[index]!, 10);
      expect(state.signal).toBeNull();
    }
  });

  it('agrees with the NIST/SEMATECH e-Handbook 6.3.2.3 (its data from memory)', () => {
    const means = [
      324.925, 324.675, 324.725, 324.35, 325.35, 325.225, 324.125, 324.525, 325.225, 324.6, 324.625,
      325.15, 328.325, 327.25, 327.825, 328.5, 326.675, 327.775, 326.875, 328.35,
    ];
    const chart = cusum({ slackSigmas: 0.3175, limitSigmas: 4.1959, ...plain });
    const states = walk(
      chart.start,
      means.map((mean) => mean - 325),
      chart.step,
    );
    const high = [3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.0, 19.04];
    for (const [index, sum] of high.entries()) {
      expect(Math.abs(states[12 + index]!.high - sum)).toBeLessThan(0.0051);
    }
    expect(Math.max(...states.map(({ low }) => low))).toBeCloseTo(0.72, 2);
    expect(states.findIndex(({ signal }) => signal !== null) + 1).toBe(14);
  });

  it.each([
    [4, 0, 168],
    [5, 0, 465],
    [4, 1, 8.38],
    [5, 1, 10.4],
    [5, 2, 4.01],
  ])(
    'of limit %f and shift %f lasts as Montgomery tabulates (from memory)',
    (limit, shift, runs) => {
      const length = cusumRunLength({ slackSigmas: 0.5, limitSigmas: limit }, shift);
      // Siegmund's approximation against the exact values.
      expect(Math.abs(length / runs - 1)).toBeLessThan(0.04);
    },
  );
});

describe('the EWMA chart', () => {
  const values = [
    52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2,
    52.6, 52.4, 53.6, 52.1,
  ];
  const sigma = 2.0539;
  const chart = ewmaChart({ weight: 0.3, limitSigmas: 3 });
  const states = walk(
    chart.start,
    values.map((value) => (value - 50) / sigma),
    chart.step,
  );

  it('agrees with the NIST/SEMATECH e-Handbook 6.3.2.4', () => {
    const levels = [
      50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52,
      50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
    ];
    for (const [index, state] of states.entries()) {
      expect(Math.abs(50 + sigma * state.level - levels[index]!)).toBeLessThan(0.0051);
      expect(state.signal).toBeNull();
    }
    // The page rounds the factor of the limits: 52.5884 and 47.4115.
    expect(Math.abs(50 + sigma * states[19]!.limit - 52.5884)).toBeLessThan(3e-4);
  });

  it('has the widening limits computed apart', () => {
    const limits = [1, 2, 3, 5, 10].map((place) => 50 + sigma * states[place - 1]!.limit);
    for (const [index, limit] of [51.8485, 52.2564, 52.4314, 52.5516, 52.5874].entries()) {
      expect(limits[index]).toBeCloseTo(limit, 4);
    }
  });
});

describe('the Page-Hinkley test', () => {
  it('agrees with an example computed by hand', () => {
    const chart = pageHinkley({ tolerance: 0.1, limit: 5, ...plain });
    const states = walk(chart.start, [1, 1, 1, 1, 1, 3, 3, 3, 3, 3], chart.step);
    const excess = [0, 0, 0, 0, 0, 1.566667, 2.895238, 4.045238, 5.056349, 5.956349];
    for (const [index, state] of states.entries()) {
      expect(state.excess).toBeCloseTo(excess[index]!, 6);
    }
    expect(states.findIndex(({ signal }) => signal) + 1).toBe(9);
  });
});
