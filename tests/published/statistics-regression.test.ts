/** Least squares and robust regression against certified and published results. */
import { huberRegression, leastSquares, predict } from '@lineside/statistics';
import { describe, expect, it } from 'vitest';
import { LONGLEY, NORRIS, STACK_LOSS } from './regression-data.ts';

function expectDigits(value: number | undefined, certified: number, tolerance: number): void {
  expect(Math.abs((value ?? Number.NaN) / certified - 1)).toBeLessThan(tolerance);
}

const norris = {
  rows: NORRIS.map(([, x]) => [1, x]),
  responses: NORRIS.map(([y]) => y),
};
const longley = {
  rows: LONGLEY.map(([, ...regressors]) => [1, ...regressors]),
  responses: LONGLEY.map(([y]) => y ?? Number.NaN),
};
const stackLoss = {
  rows: STACK_LOSS.map(([, ...regressors]) => [...regressors, 1]),
  responses: STACK_LOSS.map(([loss]) => loss),
};

describe('least squares', () => {
  it('has the certified values of NIST StRD Norris', () => {
    const fit = leastSquares(norris);
    expectDigits(fit.coefficients[0], -0.262323073774029, 1e-10);
    expectDigits(fit.coefficients[1], 1.00211681802045, 1e-13);
    expectDigits(fit.scale, 0.884796396144373, 1e-12);
    expectDigits(predict(fit, [1, 0]).standardError, 0.232818234301152, 1e-12);
    expectDigits(predict(fit, [0, 1]).standardError, 0.429796848199937e-3, 1e-12);
  });

  it('has the certified values of NIST StRD Longley (values from memory)', () => {
    const fit = leastSquares(longley);
    const certified = [
      -3482258.63459582, 15.0618722713733, -0.035819179292591, -2.02022980381683, -1.03322686717359,
      -0.0511041056535807, 1829.15146461355,
    ];
    for (const [index, value] of certified.entries()) {
      expectDigits(fit.coefficients[index], value, 1e-8);
    }
    expectDigits(fit.scale, 304.854073561965, 1e-9);
  });

  it('agrees with the fit of the stack loss computed apart', () => {
    const { coefficients } = leastSquares(stackLoss);
    expect(coefficients[0]).toBeCloseTo(0.7156402, 7);
    expect(coefficients[1]).toBeCloseTo(1.29528612, 7);
    expect(coefficients[2]).toBeCloseTo(-0.15212252, 7);
    expect(coefficients[3]).toBeCloseTo(-39.91967442, 7);
  });
});

describe('Huber regression', () => {
  const fit = huberRegression(stackLoss);

  it('agrees with the results of R in the statsmodels tests', () => {
    // R stops early; hence 1e-4.
    expectDigits(fit.coefficients[0], 0.82937387, 1e-4);
    expectDigits(fit.coefficients[1], 0.92610818, 1e-4);
    expectDigits(fit.coefficients[2], -0.12784916, 1e-4);
    expectDigits(fit.coefficients[3], -41.02653105, 1e-4);
    expectDigits(fit.scale, 2.4407137948148447, 1e-4);
    expectDigits(fit.weights[20], 0.36814106, 2e-4);
    expectDigits(fit.weights[3], 0.50494094, 2e-4);
    expectDigits(fit.weights[2], 0.7858871, 2e-4);
    expect(fit.weights.filter((weight) => weight === 1)).toHaveLength(18);
  });

  it('agrees with the fully converged fit computed apart', () => {
    expect(fit.coefficients[0]).toBeCloseTo(0.82938433, 7);
    expect(fit.coefficients[1]).toBeCloseTo(0.92606597, 7);
    expect(fit.coefficients[2]).toBeCloseTo(-0.12784672, 7);
    expect(fit.coefficients[3]).toBeCloseTo(-41.02649835, 6);
    expect(fit.scale).toBeCloseTo(2.4405361, 6);
  });

  it('has the covariance of SAS (first form) in the statsmodels tests', () => {
    // air flow, temperature, acid, constant on the diagonal; four digits are printed.
    const diagonal = [0, 1, 2, 3].map((index) => fit.covariance[index * 5]);
    expectDigits(diagonal[0], 0.01232, 1e-3);
    expectDigits(diagonal[1], 0.09177, 1e-3);
    expectDigits(diagonal[2], 0.01655, 1e-3);
    expectDigits(diagonal[3], 95.8813, 1e-3);
    expectDigits(fit.covariance[1], -0.02474, 1e-3);
  });
});
