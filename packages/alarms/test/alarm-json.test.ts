import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { actOnAlarm, alarmJson, alarmJsonSchema, retainedPayload, rfc3339 } from '../src/index.ts';
import { alarmAfter, closed, escalated, opened, RAISED_MS } from './sample-alarm.ts';

describe('rfc3339', () => {
  it.each([
    [Date.UTC(2026, 0, 10, 4, 12), '2026-01-10T04:12:00Z'],
    [Date.UTC(2026, 0, 10, 4, 12, 0, 250), '2026-01-10T04:12:00.250Z'],
    [0, '1970-01-01T00:00:00Z'],
    [-1, '1969-12-31T23:59:59.999Z'],
    [253_402_300_799_999, '9999-12-31T23:59:59.999Z'],
  ])('writes %i as %s', (atMs, text) => {
    expect(rfc3339(atMs)).toBe(text);
  });

  it.each([253_402_300_800_000, -62_167_219_200_001, Number.NaN, Number.POSITIVE_INFINITY])(
    'refuses %d, which has no year of four digits',
    (atMs) => {
      expect(() => rfc3339(atMs)).toThrow(RangeError);
    },
  );
});

describe('alarmJson', () => {
  const alarm = alarmAfter([opened(RAISED_MS), escalated(RAISED_MS + 60_000, 'urgent')]);

  it('is the alarm as everybody outside sees it', () => {
    const { causes } = opened(RAISED_MS);
    expect(alarmJson(alarm)).toEqual({
      id: 'a1',
      site: 'harbour-mall',
      unit: 'rtu-01',
      kind: 'leakage',
      priority: 'urgent',
      state: 'unacknowledged',
      standing: true,
      raised: '2026-01-10T04:12:00Z',
      cleared: null,
      acknowledged: null,
      acknowledgedBy: null,
      shelvedUntil: null,
      shelvedBy: null,
      shelveReason: null,
      priorities: [
        { priority: 'routine', since: '2026-01-10T04:12:00Z', causes },
        { priority: 'urgent', since: '2026-01-10T04:13:00Z', causes },
      ],
      headline: 'Leakage to ground, urgent',
      evidence: { leakageMilliamps: 14, side: 'line' },
      causes,
      withdrawn: false,
    });
  });

  it('is what its schema says', () => {
    expect(alarmJsonSchema.parse(JSON.parse(JSON.stringify(alarmJson(alarm))))).toEqual(
      alarmJson(alarm),
    );
    expect(alarmJsonSchema.safeParse({ ...alarmJson(alarm), state: 'silenced' }).success).toBe(
      false,
    );
    expect(Object.keys(z.toJSONSchema(alarmJsonSchema).properties ?? {}).sort()).toEqual(
      Object.keys(alarmJson(alarm)).sort(),
    );
  });
});

describe('retainedPayload', () => {
  it('is the JSON of the alarm until it is back to normal and acknowledged', () => {
    const returned = alarmAfter([opened(RAISED_MS), closed(RAISED_MS + 1)]);
    expect(JSON.parse(retainedPayload(returned))).toMatchObject({
      state: 'returned-unacknowledged',
      cleared: '2026-01-10T04:12:00.001Z',
    });
    const done = actOnAlarm(returned, { type: 'acknowledge' }, { atMs: RAISED_MS, by: 'rosa' });
    expect(done.ok && retainedPayload(done.alarm)).toBe('');
  });
});
