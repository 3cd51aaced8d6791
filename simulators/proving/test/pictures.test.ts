import { describe, expect, it } from 'vitest';
import { type Chart, drawChart, type Point, thinned } from '../src/pictures/chart.ts';
import { reliabilityPicture, sweepPicture } from '../src/pictures/other-pictures.ts';
import { leakageFigures } from '../src/sweep/leakage-figures.ts';
import { alarm, FAILING_TRACK, observed } from './hand-made.ts';

const told = observed({ faults: [FAILING_TRACK] }, [
  alarm('leakage', [{ priority: 'urgent', day: 30, cause: 'line-side-track-to-ground' }]),
]);
const quiet = leakageFigures([observed({})]);
const OUTCOMES = [
  {
    cohort: 'track, drive',
    seed: 1,
    units: { lineside: [told] },
    sweep: { 'ewma-chart at 3': leakageFigures([told]) },
  },
  {
    cohort: 'healthy',
    seed: 2,
    units: { lineside: [observed({})] },
    sweep: { 'ewma-chart at 3': quiet },
  },
];

describe('a chart', () => {
  const points: readonly Point[] = [
    [0, 0],
    [10, 5],
    [20, 50],
  ];
  const series = { name: 'a < b', colour: '#000', as: 'line', points } as const;
  const chart: Chart = {
    title: 'T & U',
    xLabel: 'days',
    from: 0,
    to: 10,
    panels: [{ label: 'mA', from: 0, to: 5, series: [series], height: 100 }],
  };

  it('draws points within its axes, from the lower left to the upper right', () => {
    expect(drawChart(chart)).toContain('d="M62 134L744 34"');
  });

  it('escapes what would be markup', () => {
    expect(drawChart(chart)).toContain('a &lt; b');
    expect(drawChart(chart)).toContain('<title>T &amp; U</title>');
  });
});

describe('thinned points', () => {
  it('keep the peak and the pit of each stretch, in order', () => {
    const many = Array.from({ length: 5000 }, (_, x): Point => [x, x === 2500 ? 9 : Math.sin(x)]);
    const kept = thinned(many, 100);
    expect(kept.length).toBeLessThanOrEqual(100);
    expect(kept).toContainEqual([2500, 9]);
    expect(kept.map(([x]) => x)).toEqual(kept.map(([x]) => x).toSorted((a, b) => a - b));
  });
});

describe('pictures of a run', () => {
  it('show stated probability against what was right', () => {
    const [panel] = reliabilityPicture(OUTCOMES, 'lineside').panels;
    expect(panel?.series.at(-1)?.points[0]).toEqual([80, 100]);
  });

  it('show the rivals swept, and nothing without a sweep', () => {
    const chart = sweepPicture(OUTCOMES, 'lineside');
    expect(chart?.panels[0]?.series.map(({ name }) => name)).toContain('ewma-chart');
    expect(sweepPicture(OUTCOMES.slice(0, 1), 'lineside')).toBeNull();
  });
});
