import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { NOTHING_SUMMED_UP, type SpanPart, unitParts } from '../../src/influxdb/span-parts.ts';

const QUARTER_MS = 900_000;
const DAY_MS = 86_400_000;
const UNIT = { site: 'mill', unit: 'rtu-01' };
const MONDAY_MS = Date.UTC(2026, 0, 5);

function partsOf(
  fromMs: number,
  toMs: number,
  beforeMs: number,
  lateDays: readonly number[] = [],
): readonly SpanPart[] {
  const summed = { beforeMs, lateDays: new Map([['mill/rtu-01', lateDays]]) };
  return unitParts({ fromMs, toMs }, UNIT, summed);
}

describe('unitParts', () => {
  it('takes whole quarters that are summed up, and readings beside them', () => {
    const at = MONDAY_MS;
    expect(partsOf(at + 1, at + 6 * QUARTER_MS, at + 4 * QUARTER_MS)).toEqual([
      { span: { fromMs: at + 1, toMs: at + QUARTER_MS }, source: 'readings' },
      { span: { fromMs: at + QUARTER_MS, toMs: at + 4 * QUARTER_MS }, source: 'quarters' },
      { span: { fromMs: at + 4 * QUARTER_MS, toMs: at + 6 * QUARTER_MS }, source: 'readings' },
    ]);
  });

  it('takes readings alone where nothing is summed up, or no quarter is whole', () => {
    const span = { fromMs: MONDAY_MS, toMs: MONDAY_MS + DAY_MS };
    const alone = [{ span, source: 'readings' }];
    expect(unitParts(span, UNIT, NOTHING_SUMMED_UP)).toEqual(alone);
    expect(partsOf(span.fromMs, span.toMs, MONDAY_MS)).toEqual(alone);
    const short = partsOf(MONDAY_MS + 1, MONDAY_MS + 2 * QUARTER_MS - 1, MONDAY_MS + DAY_MS);
    expect(short.map(({ source }) => source)).toEqual(['readings']);
  });

  it('takes readings of a day that lacks late ones, of that unit only', () => {
    const [first, late, end] = [MONDAY_MS, MONDAY_MS + DAY_MS, MONDAY_MS + 3 * DAY_MS];
    expect(partsOf(first, end, end, [late])).toEqual([
      { span: { fromMs: first, toMs: late }, source: 'quarters' },
      { span: { fromMs: late, toMs: late + DAY_MS }, source: 'readings' },
      { span: { fromMs: late + DAY_MS, toMs: end }, source: 'quarters' },
    ]);
    const summed = { beforeMs: end, lateDays: new Map([['mill/rtu-02', [late]]]) };
    expect(unitParts({ fromMs: first, toMs: end }, UNIT, summed)).toHaveLength(1);
  });

  it('covers any span once, with quarters only where they are whole and lack nothing', () => {
    const time = fc.integer({ min: 0, max: 6 * DAY_MS }).map((ms) => MONDAY_MS + ms);
    const days = fc.uniqueArray(fc.integer({ min: 0, max: 5 }), { maxLength: 6 });
    fc.assert(
      fc.property(time, time, fc.nat(600), days, (a, b, quarters, late) => {
        const [fromMs, toMs] = [Math.min(a, b), Math.max(a, b)];
        fc.pre(fromMs < toMs);
        const beforeMs = MONDAY_MS + quarters * QUARTER_MS;
        const lateDays = late.sort((x, y) => x - y).map((day) => MONDAY_MS + day * DAY_MS);
        const parts = partsOf(fromMs, toMs, beforeMs, lateDays);
        expect(parts[0]?.span.fromMs).toBe(fromMs);
        expect(parts.at(-1)?.span.toMs).toBe(toMs);
        for (const [place, { span, source }] of parts.entries()) {
          expect(span.fromMs).toBeLessThan(span.toMs);
          expect(parts[place + 1]?.span.fromMs ?? toMs).toBe(span.toMs);
          if (source === 'readings') continue;
          expect(span.fromMs % QUARTER_MS).toBe(0);
          expect(span.toMs % QUARTER_MS).toBe(0);
          expect(span.toMs).toBeLessThanOrEqual(beforeMs);
          const isLate = lateDays.some((day) => span.fromMs < day + DAY_MS && day < span.toMs);
          expect(isLate).toBe(false);
        }
      }),
    );
  });
});
