import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bucketCount, bucketWidth } from '../../src/sqlite/telemetry/bucket-width.ts';
import { weekFileName, weekOfFile, weekSpan, weekStart } from '../../src/sqlite/telemetry/week.ts';

const MINUTE_MS = 60_000;
const DAY_MS = 1_440 * MINUTE_MS;
const MONDAY_MS = Date.UTC(2026, 10, 23);

describe('bucketWidth', () => {
  it.each([
    [1, 1_440, 1],
    [1, 1_439, 2],
    [7, 1_000, 15],
    [90, 1_000, 180],
    [90, 20_000, 10],
    [400, 1_000, 720],
    [400, 100, 7 * 1_440],
  ])('of %d days in %d points is %d minutes', (days, points, width) => {
    const toMs = MONDAY_MS + days * DAY_MS;
    expect(bucketWidth({ fromMs: MONDAY_MS, toMs }, points)).toBe(width * MINUTE_MS);
  });

  it('never needs more buckets than points', () => {
    const time = fc.integer({ min: 0, max: Date.UTC(9999, 0) });
    fc.assert(
      fc.property(time, time, fc.integer({ min: 1, max: 20_000 }), (a, b, points) => {
        const span = { fromMs: Math.min(a, b), toMs: Math.max(a, b) + 1 };
        expect(bucketCount(span, bucketWidth(span, points))).toBeLessThanOrEqual(points);
      }),
    );
  });
});

describe('weeks', () => {
  it('start on Monday 00:00 UTC and name their files', () => {
    expect(weekStart(MONDAY_MS)).toBe(MONDAY_MS);
    expect(weekStart(MONDAY_MS - 1)).toBe(MONDAY_MS - 7 * DAY_MS);
    expect(weekFileName(MONDAY_MS)).toBe('telemetry-2026-11-23.db');
    expect(weekFileName(weekStart(0))).toBe('telemetry-1969-12-29.db');
  });

  it('are known from their file names again', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: Date.UTC(9999, 11, 31) }), (atMs) => {
        const startMs = weekStart(atMs);
        const { fromMs, toMs } = weekSpan(startMs);
        expect(fromMs <= atMs && atMs < toMs).toBe(true);
        expect(weekOfFile(weekFileName(startMs))).toBe(startMs);
        expect(weekOfFile(`${weekFileName(startMs)}-wal`)).toBe(startMs);
      }),
    );
  });

  it.each(['telemetry-2026-11-24.db', 'telemetry-2026-13-01.db', 'records.db', 'x.db.part'])(
    'have nothing to do with %s',
    (name) => expect(weekOfFile(name)).toBeNull(),
  );
});
