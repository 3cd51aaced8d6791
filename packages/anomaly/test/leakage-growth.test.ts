import { dryGrowth, timeToLimit, wetGrowth } from '@lineside/anomaly';
import { describe, expect, it } from 'vitest';

const WEEKS = [1, 2, 3, 4, 5, 6, 7, 8].map((week) => [week, 1 + 0.2 * week, 5 + week, 92] as const);

describe('growth', () => {
  it("is Sen's slope per week, with limits, after three weeks", () => {
    expect(wetGrowth(WEEKS)).toMatchObject({ milliampsPerWeek: 1, weeks: 8 });
    expect(dryGrowth(WEEKS)?.milliampsPerWeek).toBeCloseTo(0.2, 9);
    expect(dryGrowth(WEEKS.slice(0, 2))).toBeNull();
  });

  it('of wet days leaves out weeks that stayed dry', () => {
    const dry = WEEKS.map(([week, low, wet]) => [week, low, wet, 70] as const);
    expect(wetGrowth(dry)).toBeNull();
  });

  it('keeps the length of weeks that were not seen', () => {
    const gap = WEEKS.filter(([week]) => week !== 4 && week !== 5);
    expect(wetGrowth(gap)).toMatchObject({ milliampsPerWeek: 1, weeks: 6 });
  });
});

describe('the time to a limit', () => {
  const always = [16, 16, 16, 16];

  it('is when growth has brought the wet day there', () => {
    expect(timeToLimit(always, 16, 30, wetGrowth(WEEKS))).toMatchObject({ days: 98 });
    expect(timeToLimit([40, 40, 40], 40, 30, wetGrowth(WEEKS))).toMatchObject({ days: 0 });
  });

  it('waits for the weather of the unit', () => {
    const seldom = [16, 2, 2, 2, 2, 2];
    const often = timeToLimit(always, 16, 30, wetGrowth(WEEKS))!;
    const rare = timeToLimit(seldom, 16, 30, wetGrowth(WEEKS))!;
    expect(rare.days).toBeGreaterThan(often.days);
    expect(rare.soonestDays!).toBeLessThanOrEqual(rare.days);
    expect(rare.latestDays!).toBeGreaterThanOrEqual(rare.days);
  });

  it('is not told of a unit that does not grow, or whose growth is in doubt', () => {
    const still = WEEKS.map(([week, low]) => [week, low, 5, 92] as const);
    expect(timeToLimit(always, 16, 30, wetGrowth(still))).toBeNull();
    const doubtful = [5, 9, 4, 8, 5, 9].map((wet, week) => [week, 1, wet, 92] as const);
    expect(timeToLimit(always, 16, 30, wetGrowth(doubtful))).toBeNull();
    expect(timeToLimit(always, 16, 30, wetGrowth(WEEKS.slice(0, 3)))).toBeNull();
    expect(timeToLimit(always, 16, 30, null)).toBeNull();
  });
});
