import { describe, expect, it } from 'vitest';
import { openHouse, START_MS } from './support/house.ts';

const HOUR_MS = 3_600_000;
const LISTS = [
  '/api/units',
  '/api/alarms',
  '/api/quarantine',
  '/api/storms',
  '/api/units/harbour/rtu-01/service',
  '/api/units/harbour/rtu-01/episodes',
];

describe.each(LISTS)('the list %s', (url) => {
  it.each(['limit=1001', 'limit=0', 'limit=-1', 'limit=ten', 'limit=', 'limit=1&limit=2'])(
    'with %s is 400 and names limit',
    async (query) => {
      const house = await openHouse();
      const response = await house.call('office', 'GET', `${url}?${query}`);
      expect(response.statusCode).toBe(400);
      expect(response.json()).toMatchObject({ status: 400, errors: [{ path: 'limit' }] });
    },
  );

  it('takes a limit of 1,000 and ends with next null', async () => {
    const house = await openHouse();
    const response = await house.call('office', 'GET', `${url}?limit=1000`);
    expect(response.statusCode).toBe(200);
    expect(response.json().next).toBeNull();
  });

  it.each(['made-up', 'WyJhIl0', `${'x'.repeat(600)}`])(
    'with a cursor that nobody handed out is 400 and names cursor',
    async (cursor) => {
      const house = await openHouse();
      const response = await house.call('office', 'GET', `${url}?cursor=${cursor}`);
      expect(response.statusCode).toBe(400);
      expect(response.json()).toMatchObject({ errors: [{ path: 'cursor' }] });
    },
  );
});

describe('a list without a limit', () => {
  it('holds 100 items and says how to go on', async () => {
    const house = await openHouse();
    for (let at = 0; at < 250; at += 1) {
      const payload = new Uint8Array();
      const entry = { atMs: at, topic: 't', code: 'C', reason: `r${at}`, payload };
      house.records.quarantineList.push(entry);
    }
    const seen: string[] = [];
    const sizes: number[] = [];
    let query = '';
    do {
      const page = (await house.call('office', 'GET', `/api/quarantine${query}`)).json();
      sizes.push(page.items.length);
      seen.push(...page.items.map((one: { reason: string }) => one.reason));
      query = page.next === null ? '' : `?cursor=${page.next}`;
    } while (query !== '');
    expect(sizes).toEqual([100, 100, 50]);
    expect(new Set(seen).size).toBe(250);
    expect(seen[0]).toBe('r249');
  });
});

describe('episodes', () => {
  it('are the wettings that overlap the span, newest first', async () => {
    const house = await openHouse();
    const ref = { site: 'harbour', unit: 'rtu-01' };
    const wetting = { source: 'water-ingress', wetHours: 1.5, evidence: {} } as const;
    for (const [startMs, endMs] of [
      [START_MS - 9 * HOUR_MS, START_MS - 8 * HOUR_MS],
      [START_MS - 2 * HOUR_MS, null],
    ] as const) {
      const episode = { ...wetting, startMs, peakMs: startMs + 60_000, endMs };
      house.records.episodeList.push({ ...ref, episode });
    }
    const url = '/api/units/harbour/rtu-01/episodes';
    const all = (await house.call('viewer', 'GET', url)).json().items;
    expect(all).toHaveLength(2);
    expect(all[0]).toEqual({
      ...ref,
      start: '2026-01-15T10:00:00Z',
      peak: '2026-01-15T10:01:00Z',
      end: null,
      source: 'water-ingress',
      wetHours: 1.5,
    });
    const span = 'from=2026-01-15T02:00:00Z&to=2026-01-15T04:00:00Z';
    const some = (await house.call('viewer', 'GET', `${url}?${span}`)).json().items;
    expect(some.map((one: { start: string }) => one.start)).toEqual(['2026-01-15T03:00:00Z']);
    const turned = 'to=2026-01-15T02:00:00Z&from=2026-01-15T04:00:00Z';
    const refused = await house.call('viewer', 'GET', `${url}?${turned}`);
    expect(refused.json()).toMatchObject({ status: 400, errors: [{ path: 'from' }] });
  });
});
