import { describe, expect, it } from 'vitest';
import { bestPoint, meritOf } from '../src/tuning/objective.ts';
import { parseTuned, readTuned } from '../src/tuning/tuned-file.ts';
import { alarm, DAYS, FAILING_TRACK, observed } from './hand-made.ts';

describe('the merit of a point', () => {
  it('is the mean recall of routine and urgent, and the false alarms of its own kind', () => {
    const told = alarm('leakage', [{ priority: 'routine', day: 40 }]);
    const other = alarm('moisture', [{ priority: 'urgent', day: 41 }]);
    const wrong = alarm('leakage', [{ priority: 'routine', day: 5 }]);
    const units = [observed({ faults: [FAILING_TRACK] }, [told, other, wrong])];
    const merit = meritOf('leakage', units);
    expect(merit.recall).toBe(0.5);
    expect(merit.falsePerUnitYear).toBeCloseTo(365.25 / DAYS);
  });
});

describe('the best point', () => {
  const tried = [
    { point: 'loud', merit: { recall: 0.9, falsePerUnitYear: 5 } },
    { point: 'good', merit: { recall: 0.7, falsePerUnitYear: 0.9 } },
    { point: 'as good, quieter', merit: { recall: 0.7, falsePerUnitYear: 0.4 } },
    { point: 'deaf', merit: { recall: 0, falsePerUnitYear: 0 } },
  ];

  it('has the highest recall among those as quiet as we are', () => {
    expect(bestPoint(tried, 1).point).toBe('as good, quieter');
    expect(bestPoint(tried, 5).point).toBe('loud');
  });

  it('need not be quieter than half a false alarm in a unit-year', () => {
    expect(bestPoint(tried, 0).point).toBe('as good, quieter');
  });

  it('is the quietest when none is as quiet', () => {
    expect(bestPoint(tried.slice(0, 2), 0.1).point).toBe('good');
  });

  it('is refused for an empty grid', () => {
    expect(() => bestPoint([], 1)).toThrow(/the grid is empty/);
  });
});

describe('the file of tuned rivals', () => {
  it('can be read', () => {
    expect(Object.keys(readTuned())).toHaveLength(3);
  });

  it('says what is missing in it', () => {
    expect(() => parseTuned('{}')).toThrow(/the file has no 'chosen'.*bench -- tune/);
    const { 'ewma-chart': _, ...others } = readTuned();
    expect(() => parseTuned(JSON.stringify({ chosen: others }))).toThrow(
      /chosen has no 'ewma-chart'/,
    );
  });
});
