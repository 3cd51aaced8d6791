export * from './cusum.ts';
export * from './ewma-chart.ts';
export { type HuberFit, huberRegression } from './huber-regression.ts';
export { incompleteBeta, logGamma } from './incomplete-beta.ts';
export {
  type LinearFit,
  leastSquares,
  MOST_REGRESSORS,
  MOST_ROWS,
  type Prediction,
  predict,
  type RegressionData,
} from './least-squares.ts';
export * from './mann-kendall.ts';
export * from './normal.ts';
export * from './p2-quantile.ts';
export * from './page-hinkley.ts';
export * from './rank-shift.ts';
export * from './rank-sum.ts';
export * from './robust-level.ts';
export * from './robust-location.ts';
export { MOST_PAIRED_VALUES, median, medianDeviation, qnScale, quantile } from './robust-scale.ts';
export * from './sens-slope.ts';
export * from './streaming-regression.ts';
export * from './student-t.ts';
export type { UdFactors } from './ud-factors.ts';
export * from './wilson-interval.ts';
