import {
  huberRegression,
  leastSquares,
  predict,
  type StreamingRegressionSettings,
  streamingRegression,
} from '@lineside/statistics';
import fc from 'fast-check';
import * as simple from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { normalNoise, uniformNumbers } from './normal-noise.ts';

const points = fc
  .array(fc.tuple(fc.integer({ min: -50, max: 50 }), fc.integer({ min: -50, max: 50 })), {
    minLength: 4,
    maxLength: 30,
  })
  .filter((pairs) => new Set(pairs.map(([x]) => x)).size > 2);

/** Three regressors and a response with scatter 0.5 about 2 - 3 x1 + 0.5 x2. */
function plane(count: number, seed: number): { rows: number[][]; responses: number[] } {
  const first = uniformNumbers(count, seed);
  const second = normalNoise(count, seed + 1);
  const noise = normalNoise(count, seed + 2);
  const rows = first.map((x, index) => [1, 4 * x, second[index]!]);
  const responses = rows.map(([, x1, x2], index) => 2 - 3 * x1! + 0.5 * x2! + 0.5 * noise[index]!);
  return { rows, responses };
}

describe('least squares', () => {
  it('agrees with simple-statistics on a line', () => {
    fc.assert(
      fc.property(points, (pairs) => {
        const { m, b } = simple.linearRegression(pairs);
        const fit = leastSquares({
          rows: pairs.map(([x]) => [1, x]),
          responses: pairs.map(([, y]) => y),
        });
        expect(fit.coefficients[0]).toBeCloseTo(b, 6);
        expect(fit.coefficients[1]).toBeCloseTo(m, 6);
      }),
    );
  });

  it('leaves residuals at right angles to every regressor, weighted', () => {
    const { rows, responses } = plane(50, 1);
    const weights = uniformNumbers(50, 9);
    const { residuals } = leastSquares({ rows, responses, weights });
    for (const column of [0, 1, 2]) {
      const dot = rows.reduce(
        (sum, row, index) => sum + weights[index]! * row[column]! * residuals[index]!,
        0,
      );
      expect(dot).toBeCloseTo(0, 10);
    }
  });

  it('counts a row of weight 2 as two rows', () => {
    const { rows, responses } = plane(20, 2);
    const doubled = leastSquares({
      rows: [...rows, rows[3]!],
      responses: [...responses, responses[3]!],
    });
    const weights = rows.map((_, index) => (index === 3 ? 2 : 1));
    const weighted = leastSquares({ rows, responses, weights });
    for (const [index, value] of doubled.coefficients.entries()) {
      expect(weighted.coefficients[index]).toBeCloseTo(value, 12);
    }
  });

  it('shrinks a coefficient to 0 as its ridge grows, and bears fewer rows than regressors', () => {
    const { rows, responses } = plane(40, 3);
    const sizes = [0, 10, 100, 1e9].map((penalty) =>
      Math.abs(leastSquares({ rows, responses, ridge: [0, penalty, 0] }).coefficients[1]!),
    );
    expect(sizes).toEqual(sizes.toSorted((a, b) => b - a));
    expect(sizes[3]).toBeLessThan(1e-5);
    const few = leastSquares({ rows: [[1, 2, 3]], responses: [7], ridge: [1, 1, 1] });
    // x y / (1 + x'x) by hand.
    expect(few.coefficients[0]).toBeCloseTo(7 / 15, 12);
    expect(few.coefficients[2]).toBeCloseTo(21 / 15, 12);
    expect(few.scale).toBe(0);
  });

  it('has standard errors that cover the truth as often as they say', () => {
    let covered = 0;
    for (let run = 0; run < 400; run += 1) {
      const { rows, responses } = plane(30, 1000 + 3 * run);
      const { value, standardError } = predict(leastSquares({ rows, responses }), [1, 2, 1]);
      // Student's 97.5 % quantile for 27 degrees of freedom.
      if (Math.abs(value - (2 - 6 + 0.5)) <= 2.052 * standardError) covered += 1;
    }
    expect(Math.abs(covered / 400 - 0.95)).toBeLessThan(0.044);
  });

  it('refuses combinations, ragged rows and what is no number', () => {
    const rows = [
      [1, 2, 3],
      [1, 4, 5],
      [1, 6, 7],
      [1, 8, 9],
    ];
    expect(() => leastSquares({ rows, responses: [1, 2, 3, 4] })).toThrow(
      'regressor 2 must not be a combination of those before it',
    );
    expect(() => leastSquares({ rows: [[1, 2], [1]], responses: [1, 2] })).toThrow(
      'rows[1] must hold 2 to 2 values, got 1',
    );
    expect(() => leastSquares({ rows: [], responses: [] })).toThrow('number of rows');
    expect(() => leastSquares({ rows: [[Number.NaN]], responses: [1] })).toThrow('rows[0][0]');
    expect(() => leastSquares({ rows: [[1]], responses: [1, 2] })).toThrow('responses');
    expect(() => leastSquares({ rows: [[1]], responses: [1], weights: [-1] })).toThrow('weights');
    expect(() => leastSquares({ rows: [[1]], responses: [1], ridge: [1, 1] })).toThrow('ridge');
    const fit = leastSquares({ rows: [[1], [1]], responses: [1, 3] });
    expect(() => predict(fit, [1, 2])).toThrow('row must hold 1 to 1 values');
  });
});

describe('Huber regression', () => {
  it('is least squares where nothing is far off', () => {
    const { rows, responses } = plane(60, 5);
    const plain = leastSquares({ rows, responses });
    const robust = huberRegression({ rows, responses }, 9);
    for (const [index, value] of plain.coefficients.entries()) {
      expect(robust.coefficients[index]).toBeCloseTo(value, 10);
    }
  });

  it('bears a tenth of wild responses, which carry least squares away', () => {
    const { rows, responses } = plane(200, 6);
    const wild = responses.map((value, index) => (index % 10 === 0 ? value + 1000 : value));
    const robust = huberRegression({ rows, responses: wild });
    expect(robust.coefficients[1]).toBeCloseTo(-3, 0);
    expect(Math.abs(robust.coefficients[0]! - 2)).toBeLessThan(0.5);
    expect(leastSquares({ rows, responses: wild }).coefficients[0]).toBeGreaterThan(20);
    expect(Math.max(...robust.weights.filter((_, index) => index % 10 === 0))).toBeLessThan(0.01);
  });

  it('follows scale and shift of the responses', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 100 }),
        fc.integer({ min: -50, max: 50 }),
        (scale, shift) => {
          const { rows, responses } = plane(30, 7);
          const plain = huberRegression({ rows, responses });
          const moved = huberRegression({
            rows,
            responses: responses.map((value) => scale * value + shift),
          });
          expect(moved.coefficients[0]).toBeCloseTo(scale * plain.coefficients[0]! + shift, 5);
          expect(moved.coefficients[1]).toBeCloseTo(scale * plain.coefficients[1]!, 5);
          expect(moved.scale).toBeCloseTo(scale * plain.scale, 5);
        },
      ),
    );
  });

  it('stops at a line that most observations lie on', () => {
    const rows = [
      [1, 1],
      [1, 2],
      [1, 3],
      [1, 4],
    ];
    const fit = huberRegression({ rows, responses: [3, 5, 7, 9] });
    expect(fit.coefficients[1]).toBeCloseTo(2, 10);
    expect(fit.covariance.every(Number.isFinite)).toBe(true);
    expect(fit.weights.every(Number.isFinite)).toBe(true);
  });

  it('refuses a tuning outside its range', () => {
    expect(() => huberRegression({ rows: [[1]], responses: [1] }, 0)).toThrow('tuning');
  });
});

const settings: StreamingRegressionSettings = {
  priors: [
    { mean: 0, sd: 50 },
    { mean: 0, sd: 50 },
    { mean: 0, sd: 50 },
  ],
  startSpread: 1,
  leastSpread: 0.01,
  spreadWeight: 0.02,
  clipSigmas: 3,
};
const stream = streamingRegression(settings);

function follow(
  fit: ReturnType<typeof streamingRegression>,
  { rows, responses }: { rows: number[][]; responses: number[] },
  keep = 1,
) {
  return rows.reduce(
    (state, row, index) => fit.step(state, row, responses[index]!, keep),
    fit.start,
  );
}

describe('streaming regression', () => {
  it('equals the batch fit with the prior as a ridge, in coefficients and covariance', () => {
    const unclipped = streamingRegression({ ...settings, clipSigmas: 100 });
    const data = plane(80, 11);
    const state = follow(unclipped, data);
    const batch = leastSquares({ ...data, ridge: [1 / 2500, 1 / 2500, 1 / 2500] });
    for (const [index, value] of batch.coefficients.entries()) {
      expect(state.coefficients[index]).toBeCloseTo(value, 9);
    }
    for (const row of [
      [1, 0, 0],
      [0, 1, 0],
      [1, 2, -3],
      [1, 40, 9],
    ]) {
      const ours = unclipped.predict(state, row).standardError / state.spread;
      expect(ours).toBeCloseTo(predict({ ...batch, scale: 1 }, row).standardError, 9);
    }
  });

  it('equals the batch fit with weights that fade, while the prior is weak', () => {
    const vague = streamingRegression({
      ...settings,
      priors: settings.priors.map(() => ({ mean: 0, sd: 1e6 })),
      clipSigmas: 100,
    });
    const data = plane(300, 12);
    const state = follow(vague, data, 0.97);
    const weights = data.rows.map((_, index) => 0.97 ** (299 - index));
    const batch = leastSquares({ ...data, weights });
    for (const [index, value] of batch.coefficients.entries()) {
      expect(state.coefficients[index]).toBeCloseTo(value, 6);
    }
  });

  it('finds coefficients and scatter of a plane, and says how sure it is', () => {
    const state = follow(stream, plane(3000, 13));
    expect(state.coefficients[0]).toBeCloseTo(2, 0);
    expect(Math.abs(state.coefficients[1]! + 3)).toBeLessThan(0.05);
    expect(Math.abs(state.spread / 0.5 - 1)).toBeLessThan(0.25);
    const near = stream.predict(state, [1, 2, 0]);
    const far = stream.predict(state, [1, 20, 0]);
    expect(far.standardError).toBeGreaterThan(4 * near.standardError);
    expect(near.deviation).toBeCloseTo(Math.hypot(state.spread, near.standardError), 12);
  });

  it('moves by a bounded step whatever the response is', () => {
    const state = follow(stream, plane(200, 14));
    fc.assert(
      fc.property(fc.double({ min: -1e50, max: 1e50, noNaN: true }), (response) => {
        const after = stream.step(state, [1, 2, 1], response);
        const before = stream.predict(state, [1, 2, 1]);
        const moved = stream.predict(after, [1, 2, 1]).value - before.value;
        // The gain at the row is below 1 and the pull at most three deviations.
        expect(Math.abs(moved)).toBeLessThanOrEqual(3 * before.deviation);
        expect(after.spread / state.spread).toBeLessThan(1.1);
      }),
    );
  });

  it('bears a tenth of wild responses', () => {
    const { rows, responses } = plane(2000, 15);
    const wild = responses.map((value, index) => (index % 10 === 5 ? value + 1000 : value));
    const state = follow(stream, { rows, responses: wild });
    expect(Math.abs(state.coefficients[0]! - 2)).toBeLessThan(0.8);
    expect(Math.abs(state.coefficients[1]! + 3)).toBeLessThan(0.2);
  });

  it('follows a change when it forgets', () => {
    const before = plane(1000, 16);
    const after = plane(1000, 17);
    const both = {
      rows: [...before.rows, ...after.rows],
      responses: [...before.responses, ...after.responses.map((value) => value + 4)],
    };
    expect(Math.abs(follow(stream, both, 0.98).coefficients[0]! - 6)).toBeLessThan(0.6);
    expect(Math.abs(follow(stream, both).coefficients[0]! - 6)).toBeGreaterThan(1);
  });

  it('grows no surer and no less sure than the prior while it sees one row only', () => {
    let state = follow(stream, plane(200, 18));
    for (let count = 0; count < 20_000; count += 1)
      state = stream.step(state, [1, 2, 1], -3.5, 0.99);
    for (const row of [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ]) {
      const unit = stream.predict(state, row).standardError / state.spread;
      expect(unit).toBeLessThanOrEqual(50 * (1 + 1e-9));
      expect(unit).toBeGreaterThan(0);
    }
    expect(stream.predict(state, [1, 2, 1]).value).toBeCloseTo(-3.5, 2);
    expect(state.factors.diagonal.every((variance) => variance > 0)).toBe(true);
  });

  it('keeps its covariance positive whatever rows come', () => {
    const entry = fc.double({ min: -1e9, max: 1e9, noNaN: true });
    const step = fc.tuple(entry, entry, entry, entry, fc.double({ min: 0.5, max: 1, noNaN: true }));
    fc.assert(
      fc.property(fc.array(step, { maxLength: 60 }), (steps) => {
        let state = stream.start;
        for (const [a, b, c, response, keep] of steps) {
          state = stream.step(state, [a, b, c], response, keep);
        }
        for (const value of [...state.coefficients, ...state.factors.upper, state.spread]) {
          expect(Number.isFinite(value)).toBe(true);
        }
        for (const variance of state.factors.diagonal) expect(variance).toBeGreaterThan(0);
      }),
    );
  });

  it('goes on the same from a state that went through JSON, of fixed size', () => {
    const { rows, responses } = plane(100, 19);
    let stored = stream.start;
    for (const [index, row] of rows.entries()) {
      stored = stream.step(JSON.parse(JSON.stringify(stored)), row, responses[index]!, 0.99);
    }
    expect(stored).toEqual(follow(stream, { rows, responses }, 0.99));
    expect(stored.coefficients.length + stored.factors.upper.length).toBe(6);
  });

  it('refuses settings and rows outside their ranges', () => {
    expect(() => streamingRegression({ ...settings, priors: [] })).toThrow('number of priors');
    expect(() => streamingRegression({ ...settings, priors: [{ mean: 0, sd: 0 }] })).toThrow(
      'priors[0].sd must be a finite number above 0, got 0',
    );
    expect(() => streamingRegression({ ...settings, startSpread: 0 })).toThrow('startSpread');
    expect(() => streamingRegression({ ...settings, leastSpread: 0 })).toThrow('leastSpread');
    expect(() => streamingRegression({ ...settings, spreadWeight: 1 })).toThrow('spreadWeight');
    expect(() => streamingRegression({ ...settings, clipSigmas: 0 })).toThrow('clipSigmas');
    expect(() => stream.step(stream.start, [1, 2], 3)).toThrow('row must hold 3 values, got 2');
    expect(() => stream.step(stream.start, [1, 2, Number.NaN], 3)).toThrow('row[2]');
    expect(() => stream.step(stream.start, [1, 2, 3], Number.NaN)).toThrow('response');
    expect(() => stream.step(stream.start, [1, 2, 3], 3, 0)).toThrow('keep');
    expect(() => stream.predict(stream.start, [1])).toThrow('row must hold 3 values, got 1');
  });
});
