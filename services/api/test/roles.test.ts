import { describe, expect, it } from 'vitest';
import { alarmOf } from './support/alarm.ts';
import { type House, openHouse } from './support/house.ts';

async function filled(): Promise<House> {
  const house = await openHouse();
  house.records.alarmsById.set('h1', alarmOf('h1'));
  house.records.alarmsById.set('m1', alarmOf('m1', { site: 'mill' }));
  return house;
}

const itemsOf = (response: { json(): { items: { site: string }[] } }) => response.json().items;

describe('a viewer', () => {
  it('sees the units and alarms of its sites only', async () => {
    const house = await filled();
    const units = itemsOf(await house.call('viewer', 'GET', '/api/units'));
    expect(units.map((one) => one.site)).toEqual(['harbour', 'harbour']);
    const alarms = itemsOf(await house.call('viewer', 'GET', '/api/alarms'));
    expect(alarms.map((one) => one.site)).toEqual(['harbour']);
    expect(itemsOf(await house.call('viewer', 'GET', '/api/alarms?site=mill'))).toEqual([]);
    expect(itemsOf(await house.call('viewer', 'GET', '/api/alarms?site=harbour'))).toHaveLength(1);
  });

  it('without a site sees nothing', async () => {
    const house = await filled();
    const authorization = `Bearer ${await house.token('viewer', [])}`;
    for (const url of ['/api/units', '/api/alarms']) {
      const response = await house.app.inject({ url, headers: { authorization } });
      expect(itemsOf(response)).toEqual([]);
    }
  });

  it.each([
    '/api/units/mill/rtu-01',
    '/api/units/mill/rtu-01/telemetry',
    '/api/units/mill/weather/telemetry',
    '/api/units/mill/rtu-01/service',
    '/api/units/mill/rtu-01/episodes',
  ])('gets 404 for %s, the same as for a unit that does not exist', async (url) => {
    const house = await filled();
    const foreign = await house.call('viewer', 'GET', url);
    const unknown = await house.call('viewer', 'GET', url.replace('rtu-01', 'rtu-77'));
    expect(foreign.statusCode).toBe(404);
    expect(foreign.json()).toEqual(unknown.json());
    expect((await house.call('office', 'GET', url)).statusCode).toBe(200);
  });

  it.each([
    ['/api/alarms/h1/acknowledge', {}],
    ['/api/alarms/h1/hand-on', {}],
    ['/api/alarms/h1/shelve', { until: '2026-01-16T00:00:00Z', reason: 'planned' }],
    ['/api/alarms/h1/unshelve', {}],
    ['/api/units/harbour/rtu-01/service', { action: 'cleaned' }],
  ])('may not POST %s', async (url, body) => {
    const house = await filled();
    const response = await house.call('viewer', 'POST', url, body);
    expect(response.statusCode).toBe(403);
    expect(response.json().code).toBe('API_FORBIDDEN');
    expect(house.records.journal).toEqual([]);
    expect(house.records.services).toEqual([]);
  });
});

describe('quarantine', () => {
  it('is for the office only', async () => {
    const house = await openHouse();
    const payload = new Uint8Array([0, 255, 1]);
    const entry = { atMs: 0, topic: 'lineside/x', code: 'BAD', reason: 'not a pack', payload };
    house.records.quarantineList.push(entry);
    const response = await house.call('office', 'GET', '/api/quarantine');
    expect(response.json()).toEqual({
      items: [
        {
          time: '1970-01-01T00:00:00Z',
          topic: 'lineside/x',
          code: 'BAD',
          reason: 'not a pack',
          payload: 'AP8B',
        },
      ],
      next: null,
    });
    expect((await house.call('technician', 'GET', '/api/quarantine')).statusCode).toBe(403);
    expect((await house.call('viewer', 'GET', '/api/quarantine')).statusCode).toBe(403);
    expect((await house.call(null, 'GET', '/api/quarantine')).statusCode).toBe(401);
  });
});

describe('what needs sign-in', () => {
  it.each(['/api/units', '/api/alarms', '/metrics', '/api/openapi.json', '/api/events'])(
    'GET %s is 401 without, with a challenge',
    async (url) => {
      const house = await openHouse();
      const response = await house.call(null, 'GET', url);
      expect(response.statusCode).toBe(401);
      expect(response.headers['www-authenticate']).toBe('Bearer realm="lineside"');
      expect(response.headers['content-type']).toBe('application/problem+json; charset=utf-8');
    },
  );

  it.each(['/metrics', '/api/openapi.json'])('%s is for any token', async (url) => {
    const house = await openHouse();
    const authorization = `Bearer ${await house.token('viewer', [])}`;
    const response = await house.app.inject({ url, headers: { authorization } });
    expect(response.statusCode).toBe(200);
  });

  it('refuses a token that is not known, and one that is only its hash', async () => {
    const house = await openHouse();
    for (const token of ['lineside_made-up', 'x'.repeat(5000)]) {
      const headers = { authorization: `Bearer ${token}` };
      const response = await house.app.inject({ url: '/api/units', headers });
      expect(response.statusCode).toBe(401);
      expect(response.headers['www-authenticate']).toContain('error="invalid_token"');
    }
    const headers = { authorization: 'Basic dXNlcjpwYXNz' };
    expect((await house.app.inject({ url: '/api/units', headers })).statusCode).toBe(401);
  });

  it('lets health be read by anyone', async () => {
    const house = await openHouse();
    house.live.pendingCount = 7;
    expect((await house.call(null, 'GET', '/api/health')).json()).toEqual({
      state: 'ok',
      ingest: { state: 'ok', reason: null },
      alerting: { state: 'ok', reason: null },
      broker: { state: 'ok', reason: null },
      telemetry: { state: 'ok', reason: null },
      records: { state: 'ok', reason: null },
      pending: 7,
    });
    const telemetry = { state: 'degraded', reason: 'the disk is full' } as const;
    house.live.parts = { ...house.live.parts, telemetry };
    expect((await house.call(null, 'GET', '/api/health')).json()).toMatchObject({
      state: 'degraded',
      telemetry,
    });
    house.live.pendingCount = null;
    const ingest = { state: 'down', reason: 'it does not answer' } as const;
    house.live.parts = { ...house.live.parts, ingest };
    expect((await house.call(null, 'GET', '/api/health')).json()).toMatchObject({
      state: 'down',
      ingest,
      pending: null,
    });
  });
});
