import { describe, expect, it } from 'vitest';
import { alarmOf, RAISED_MS, raiseOf } from './support/alarm.ts';
import { openHouse, START_MS } from './support/house.ts';

async function houseWith(...alarms: readonly ReturnType<typeof alarmOf>[]) {
  const house = await openHouse();
  await house.records.changeAlarms(alarms.map((alarm) => ({ entry: raiseOf(alarm) })));
  const say = (id: string, body: object, who: 'office' | 'technician' = 'technician') =>
    house.call(who, 'POST', `/api/alarms/${id}/verdict`, body);
  return { ...house, house, say };
}

describe('a verdict', () => {
  it('is kept with who and what was found; the same person changes their mind', async () => {
    const { house, say } = await houseWith(alarmOf('a'));
    const body = { verdict: 'true', found: ' track at L2 ', cause: 'line-side-track-to-ground' };
    const first = await say('a', { verdict: 'unclear' });
    expect(first.json()).toMatchObject({ alarm: 'a', verdict: 'unclear', found: '', cause: null });
    house.nowMs += 1_000;
    const given = (await say('a', body)).json();
    expect(given).toEqual({
      ...body,
      alarm: 'a',
      found: 'track at L2',
      by: first.json().by,
      time: '2026-01-15T12:00:01Z',
    });
    house.nowMs += 1_000;
    const other = (await say('a', { verdict: 'false' }, 'office')).json();
    const list = await house.call('viewer', 'GET', '/api/alarms/a/verdicts');
    expect(list.json()).toEqual({ items: [other, given], next: null });
  });

  it.each<readonly [object, string]>([
    [{}, 'verdict'],
    [{ verdict: 'maybe' }, 'verdict'],
    [{ verdict: 'true', cause: 'gremlins' }, 'cause'],
    [{ verdict: 'true', found: 'x'.repeat(2_001) }, 'found'],
  ])('%j is 400', async (body, path) => {
    const { house, say } = await houseWith(alarmOf('a'));
    const response = await say('a', body);
    expect(response.statusCode).toBe(400);
    expect(response.json().errors).toEqual([expect.objectContaining({ path })]);
    expect(house.records.verdictList).toEqual([]);
  });

  it('of other sites is not for a viewer, and giving one is not at all', async () => {
    const { house } = await houseWith(alarmOf('m', { site: 'mill' }), alarmOf('h'));
    const read = (id: string) => house.call('viewer', 'GET', `/api/alarms/${id}/verdicts`);
    expect((await read('m')).statusCode).toBe(404);
    expect((await read('h')).statusCode).toBe(200);
    const body = { verdict: 'true' };
    const given = await house.call('viewer', 'POST', '/api/alarms/h/verdict', body);
    expect(given.statusCode).toBe(403);
  });

  it('is handed out with its alarm, page by page, to the office only', async () => {
    const cleared = { clearedAtMs: RAISED_MS + 60_000, standing: false, state: 'normal' } as const;
    const { house, say } = await houseWith(alarmOf('a', cleared), alarmOf('b', { unit: 'rtu-02' }));
    await say('a', { verdict: 'true', found: 'wet', cause: 'condensation' });
    house.nowMs += 1;
    await say('b', { verdict: 'false' });
    const page = (await house.call('office', 'GET', '/api/verdicts?limit=1')).json();
    expect(page.items).toEqual([
      expect.objectContaining({
        ...{ site: 'harbour', unit: 'rtu-01', kind: 'leakage', alarm: 'a' },
        ...{ raised: '2026-01-10T04:00:00Z', cleared: '2026-01-10T04:01:00Z' },
        ...{ verdict: 'true', found: 'wet', cause: 'condensation' },
      }),
    ]);
    const rest = await house.call('office', 'GET', `/api/verdicts?limit=1&cursor=${page.next}`);
    expect(rest.json()).toMatchObject({ items: [{ unit: 'rtu-02', cleared: null }], next: null });
    expect((await house.call('technician', 'GET', '/api/verdicts')).statusCode).toBe(403);
  });
});

describe('measured precision', () => {
  const alarms = [
    alarmOf('a'),
    alarmOf('b', { unit: 'rtu-02' }),
    alarmOf('c', { kind: 'silent' }),
    alarmOf('m', { site: 'mill' }),
    alarmOf('old', { kind: 'moisture', raisedAtMs: RAISED_MS - 200 * 86_400_000 }),
  ];

  it('is told by kind and by site, of alarms raised in the time asked for', async () => {
    const { house, say } = await houseWith(...alarms);
    await say('a', { verdict: 'true' });
    await say('b', { verdict: 'false' });
    await say('m', { verdict: 'true' });
    await say('old', { verdict: 'false' });
    const answer = (await house.call('office', 'GET', '/api/precision')).json();
    expect(answer).toMatchObject({ to: '2026-01-15T12:00:00Z', by: 'kind', confidence: 0.95 });
    const counts = { true: 2, false: 1, unclear: 0 };
    expect(answer.items).toMatchObject([
      { name: null, ...counts, withoutVerdict: 1, share: 2 / 3 },
      { name: 'leakage', ...counts, withoutVerdict: 0, share: 2 / 3 },
      { name: 'silent', true: 0, withoutVerdict: 1, share: null, shareLow: 0, shareHigh: 1 },
    ]);
    const bySite = (await house.call('office', 'GET', '/api/precision?by=site')).json();
    expect(bySite.items.map((one: { name: string }) => one.name)).toEqual([
      null,
      'harbour',
      'mill',
    ]);
    const wide = await house.call('office', 'GET', '/api/precision?from=2025-06-01T00:00:00Z');
    expect(wide.json().items[0]).toMatchObject({ true: 2, false: 2 });
  });

  it('is that of the own sites for a viewer', async () => {
    const { house, say } = await houseWith(...alarms);
    await say('m', { verdict: 'false' });
    const answer = (await house.call('viewer', 'GET', '/api/precision?by=site')).json();
    expect(answer.items.map((one: { name: string }) => one.name)).toEqual([null, 'harbour']);
    expect(answer.items[0]).toMatchObject({ false: 0, withoutVerdict: 3 });
  });

  it('of more than 366 days, or turned round, is 400', async () => {
    const house = await openHouse();
    for (const query of [
      'from=2024-01-01T00:00:00Z&to=2026-01-01T00:00:00Z',
      'from=2026-01-01T00:00:00Z&to=2026-01-01T00:00:00Z',
      `from=${new Date(START_MS + 1_000).toISOString()}`,
      'by=colour',
    ]) {
      for (const list of ['precision', ...(query.includes('by') ? [] : ['alarm-figures'])]) {
        const response = await house.call('office', 'GET', `/api/${list}?${query}`);
        expect(response.statusCode, `${list} ${query}`).toBe(400);
      }
    }
  });
});
