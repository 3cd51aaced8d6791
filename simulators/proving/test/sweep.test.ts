import { describe, expect, it } from 'vitest';
import { COHORTS, caseOf } from '../src/cohorts/cohorts.ts';
import { TUNING } from '../src/cohorts/tuning-table.ts';
import { judgingsOf } from '../src/running/batch.ts';
import { runCase } from '../src/running/run-case.ts';
import { runOrder } from '../src/running/run-order.ts';
import { leakageFigures, summed } from '../src/sweep/leakage-figures.ts';
import { atRate, bestOf, type CurvePoint } from '../src/sweep/sweep-curve.ts';
import { sweepResult } from '../src/table/sweep-table.ts';
import { readTuned } from '../src/tuning/tuned-file.ts';
import { alarm, FAILING_TRACK, observed } from './hand-made.ts';

const FILTER = COHORTS.find(({ name }) => name === 'healthy, emi-filter')!;

const point = (falsePerUnitYear: number, share: number, medianWarningDays = 1): CurvePoint => ({
  name: `at ${falsePerUnitYear}`,
  falsePerUnitYear,
  share,
  medianWarningDays,
});

describe('a rival at our rate', () => {
  const curve = [point(4, 0.8, 9), point(1, 0.5, 5), point(0, 0.2, 1)];

  it('stands straight between its settings around it', () => {
    expect(atRate(curve, 2)).toMatchObject({ share: 0.5 + 0.1, falsePerUnitYear: 2 });
    expect(atRate(curve, 2)?.medianWarningDays).toBeCloseTo(5 + 4 / 3, 9);
  });

  it('is its best quiet setting where it has no louder one that finds more', () => {
    expect(atRate(curve, 9)?.share).toBe(0.8);
    expect(atRate([point(0, 0.4), point(3, 0.3)], 1)?.share).toBe(0.4);
  });

  it('is nothing where none of its settings is as quiet', () => {
    expect(atRate([point(3, 0.9)], 1)).toBeNull();
    expect(bestOf([null, point(1, 0.1)])?.share).toBe(0.1);
  });
});

describe('figures of leakage alarms', () => {
  it('leave other alarms out, and add up over cases', () => {
    const moist = alarm('moisture', [{ priority: 'urgent', day: 30 }]);
    const leak = alarm('leakage', [{ priority: 'urgent', day: 30 }]);
    const track = { faults: [FAILING_TRACK] };
    const figures = [[moist], [leak]].map((one) => leakageFigures([observed(track, one)]));
    expect(figures.map((one) => one.urgentInTime)).toEqual([0, 1]);
    const healthy = leakageFigures([observed({}, [leak, moist])]);
    expect(healthy.urgentFalse).toBe(1);
    expect(summed([...figures, healthy])).toMatchObject({ tracks: 2, urgentFalse: 1 });
  });
});

describe('the sweep', () => {
  const tuned = readTuned();

  it('has at a tuned setting the urgent leakage alarms of the rival itself', () => {
    const plan = caseOf(TUNING, FILTER, 1, { weeks: 2, block: 3 });
    const urgent = 4;
    const own = tuned['fixed-limits'];
    const leakage = { ...own.signals.leakage, routine: urgent / 2, urgent };
    const settings = { ...own, signals: { ...own.signals, leakage } };
    const { units } = runCase(plan, judgingsOf([{ name: 'full', settings }]));
    const sweep = { ...tuned, 'fixed-limits': settings };
    const order = { index: 0, plan, rivals: [], sweep, ideal: false };
    const swept = runOrder(order).sweep?.[`fixed-limits at ${urgent}`];
    expect(swept).toEqual(leakageFigures(units['full'] ?? []));
    expect(swept?.urgentFalse).toBeGreaterThan(0);
  });

  it('compares at equal rates and says whether twice as many are found', () => {
    const told = observed({ faults: [FAILING_TRACK] }, [
      alarm('leakage', [{ priority: 'urgent', day: 30 }]),
    ]);
    const deaf = leakageFigures([observed({ faults: [FAILING_TRACK] })]);
    const quiet = leakageFigures([observed({})]);
    const outcomes = [
      {
        cohort: 'track, drive',
        seed: 1,
        units: { us: [told] },
        sweep: { 'ewma-chart at 3': deaf },
      },
      {
        cohort: 'healthy',
        seed: 2,
        units: { us: [observed({})] },
        sweep: { 'ewma-chart at 3': quiet },
      },
    ];
    expect(sweepResult(outcomes, 'us')).toMatchObject({ twice: true, longer: true });
    expect(sweepResult(outcomes.slice(0, 1), 'us')).toBeNull();
  });
});
