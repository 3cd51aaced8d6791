import { describe, expect, it } from 'vitest';
import { lateDayLine, QuarterLines, summedLine } from '../../src/influxdb/quarter-lines.ts';
import { maskOf } from '../../src/sqlite/telemetry/channel-mask.ts';

const UNIT = { site: 'mill', unit: 'rtu-01' };
const QUARTER_MS = 900_000;
const AT = Date.UTC(2026, 0, 5);
const MASK = maskOf(['rh', 'leak']);

function page(...values: (number | null)[][]) {
  return { tags: { ...UNIT }, columns: ['time', 'rh', 'leak'], values };
}

describe('QuarterLines', () => {
  it('sums up each channel of each quarter, over pages that end inside one', () => {
    const quarters = new QuarterLines(UNIT, MASK);
    quarters.add(page([AT, 50, null], [AT + 1, 40, 0.5]));
    quarters.add(page([AT + QUARTER_MS - 1, 45, null], [AT + QUARTER_MS, null, 2]));
    expect(quarters.lines()).toEqual([
      'quarter,site=mill,unit=rtu-01 rh_min=40,rh_max=50,rh_sum=135,rh_n=3,' +
        `leak_min=0.5,leak_max=0.5,leak_sum=0.5,leak_n=1 ${AT}`,
      `quarter,site=mill,unit=rtu-01 leak_min=2,leak_max=2,leak_sum=2,leak_n=1 ${AT + QUARTER_MS}`,
    ]);
  });

  it('writes nothing where there is nothing', () => {
    const quarters = new QuarterLines(UNIT, MASK);
    quarters.add(page());
    quarters.add(page([AT, null, null]));
    expect(quarters.lines()).toEqual([]);
  });
});

it('lines of marks and progress carry the time that they are about', () => {
  expect(lateDayLine(UNIT, AT, true)).toBe(`late_day,site=mill,unit=rtu-01 open=1 ${AT}`);
  expect(lateDayLine(UNIT, AT, false)).toBe(`late_day,site=mill,unit=rtu-01 open=0 ${AT}`);
  expect(summedLine(AT)).toBe(`summed before=${AT} ${AT}`);
});
