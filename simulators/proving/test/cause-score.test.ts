import { describe, expect, it } from 'vitest';
import { brierOf, scoreCauses } from '../src/scoring/cause-score.ts';
import { rightCauses } from '../src/scoring/leading-cause.ts';
import { alarm, day, FAILING_TRACK, fault, observed, wetting } from './hand-made.ts';

const LEAKAGE = alarm('leakage', [
  { priority: 'urgent', day: 30, cause: 'line-side-track-to-ground' },
]);
const right = (
  kind: 'leakage' | 'moisture' | 'repeat-fuse' | 'supply-loss',
  atDay: number,
  truth: object,
) =>
  [
    ...rightCauses({ kind, atMs: day(atDay) }, { priority: 'urgent' }, observed(truth, []).truth),
  ].sort();

describe('the leading cause', () => {
  it('is right by the fault that is there and that the alarm tells of', () => {
    expect(right('leakage', 30, { faults: [FAILING_TRACK] })).toEqual([
      'line-side-track-to-ground',
    ]);
    expect(right('leakage', 30, { faults: [fault({ fault: 'loose-terminal' })] })).toEqual([]);
    expect(right('leakage', 30, { faults: [fault({ onsetMs: day(31) })] })).toEqual([]);
  });

  it('may be the source of the wetting for moisture, and for nothing else', () => {
    const wettings = [wetting(29.9, 5, { source: 'condensation' })];
    expect(right('moisture', 30, { wettings })).toEqual(['condensation']);
    expect(right('leakage', 30, { wettings })).toEqual([]);
  });

  it('is unknown for a look-alike that no cause names, and wrong in health', () => {
    const lookAlikes = [{ lookAlike: 'emi-filter', fromMs: day(29), toMs: day(31) }];
    expect(right('leakage', 30, { lookAlikes })).toEqual(['unknown']);
    expect(right('leakage', 30, {})).toEqual([]);
    const outage = [{ lookAlike: 'utility-outage', fromMs: day(29), toMs: day(31) }];
    expect(right('supply-loss', 30, { lookAlikes: outage })).toEqual(['utility-outage']);
    expect(right('leakage', 30, { lookAlikes: outage })).toEqual([]);
  });

  it('names what opened the fuses when they are replaced again', () => {
    expect(right('repeat-fuse', 71, { faults: [FAILING_TRACK] })).toEqual([
      'line-side-track-to-ground',
    ]);
    expect(right('repeat-fuse', 69, { faults: [FAILING_TRACK] })).toEqual([]);
  });
});

describe('the Brier score', () => {
  it('is the mean square of what was stated against what came', () => {
    const stated = [
      { kind: 'leakage', probability: 0.9, isRight: true },
      { kind: 'leakage', probability: 0.7, isRight: false },
    ] as const;
    expect(brierOf(stated)).toBeCloseTo((0.01 + 0.49) / 2, 12);
    expect(brierOf([])).toBeNull();
  });

  it('counts a false alarm as wrong, and each judgement in one bin', () => {
    const score = scoreCauses([
      observed({}, [LEAKAGE]),
      observed({ faults: [FAILING_TRACK] }, [LEAKAGE]),
    ]);
    expect(score.judgements).toBe(2);
    expect(score.bins.reduce((sum, { right: { of } }) => sum + of, 0)).toBe(2);
    expect(score.bins.reduce((sum, { right: { hits } }) => sum + hits, 0)).toBe(1);
  });
});
