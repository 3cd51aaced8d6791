import { type Cause, fittedOf, type MarkName, posteriorOf } from '@lineside/anomaly';
import { describe, expect, it } from 'vitest';
import { fitKind, type Judged } from '../src/tuning/calibrate.ts';

const MARKS: readonly MarkName[] = ['wetting-by-dew'];
const times = (count: number, cause: Cause): Judged[] =>
  Array.from({ length: count }, () => ({
    kind: 'moisture',
    marks: MARKS,
    right: new Set([cause]),
  }));
const seen = MARKS.map((mark) => ({ mark }));
const share = (rows: ReturnType<typeof fitKind>): number =>
  posteriorOf('moisture', seen, fittedOf(rows)).get('condensation') ?? 0;

describe('a fit of the evidence table', () => {
  it('moves towards what came, within its bound, and keeps what a mark speaks for', () => {
    const more = fitKind('moisture', times(60, 'condensation'));
    const less = fitKind('moisture', times(60, 'water-ingress'));
    expect(share(more)).toBeGreaterThan(share([]));
    expect(share(less)).toBeLessThan(share([]));
    for (const [, , , by] of [...more, ...less]) {
      expect(by).toBeGreaterThan(0.6);
      expect(by).toBeLessThan(1.65);
    }
  });

  it('fits nothing to a few alarms, nor the side of a leak', () => {
    expect(fitKind('moisture', times(5, 'condensation'))).toEqual([]);
    const leaks = times(60, 'unknown').map((one) => ({ ...one, kind: 'leakage' as const }));
    expect(fitKind('leakage', leaks)).toEqual([]);
  });
});
