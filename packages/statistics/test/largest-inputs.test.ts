import {
  cusum,
  ewmaChart,
  hodgesLehmann,
  huberLocation,
  huberProposal2,
  huberRegression,
  mannKendall,
  medianDeviation,
  p2Start,
  p2Step,
  pageHinkley,
  qnScale,
  rankShift,
  rankSum,
  robustLevel,
  sensSlope,
} from '@lineside/statistics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

const anyNumber = fc.double({ min: -1e100, max: 1e100, noNaN: true });
const series = fc.array(anyNumber, { minLength: 3, maxLength: 20 });

/** Every number inside a result. */
function numbersIn(result: unknown): number[] {
  if (typeof result === 'number') return [result];
  if (typeof result !== 'object' || result === null) return [];
  return Object.values(result).flatMap(numbersIn);
}

const chart = cusum({ slackSigmas: 0.5, limitSigmas: 5, resetAfterSignal: true });
const ewma = ewmaChart({ weight: 0.1, limitSigmas: 3 });
const hinkley = pageHinkley({ tolerance: 0.1, limit: 5, resetAfterSignal: false });
const level = robustLevel({
  startValues: 5,
  settleValues: 8,
  leastWeight: 0.1,
  clipSigmas: 2,
  leastSpread: 1e-6,
  reachSigmas: 3,
  mostSpreadRatio: 2,
});

const calculations: Record<string, (values: readonly number[]) => unknown> = {
  'trend test': mannKendall,
  "Sen's slope": (values) =>
    sensSlope(
      values.map((_, index) => index),
      values,
    ),
  'median deviation': medianDeviation,
  Qn: qnScale,
  'Hodges-Lehmann': hodgesLehmann,
  'Huber location': (values) => huberLocation(values),
  'Huber proposal 2': (values) => huberProposal2(values),
  'Huber regression': (values) =>
    huberRegression({ rows: values.map((_, index) => [1, index]), responses: values }),
  'rank sum': (values) => rankSum(values.slice(1), values.slice(0, 2)),
  'rank shift': (values) => rankShift(values.slice(1), values.slice(0, 2)),
  cusum: (values) => values.reduce(chart.step, chart.start),
  EWMA: (values) => values.reduce(ewma.step, ewma.start),
  'Page-Hinkley': (values) => values.reduce(hinkley.step, hinkley.start),
  P2: (values) => values.reduce(p2Step, p2Start(0.9)),
  'robust level': (values) => values.reduce(level.step, level.start),
};

describe.each(Object.entries(calculations))('%s', (_, calculate) => {
  it('stays finite for all numbers that it takes', () => {
    fc.assert(
      fc.property(series, (values) => {
        const wrong = numbersIn(calculate(values)).filter((number) => !Number.isFinite(number));
        expect(wrong).toEqual([]);
      }),
    );
  });
});
