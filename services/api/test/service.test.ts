import { StoreError } from '@lineside/storage';
import { describe, expect, it } from 'vitest';
import { SERVICE_ACTIONS } from '../src/schemas/service.ts';
import { openHouse } from './support/house.ts';

const URL = '/api/units/harbour/rtu-01/service';

describe('service records', () => {
  it('are stored as posted, with 201 and the stored record', async () => {
    const house = await openHouse();
    const body = {
      site: 'harbour',
      unit: 'rtu-01',
      time: '2026-01-14T10:00:00+02:00',
      action: 'fuses-replaced',
      phases: ['a', 'c'],
      note: 'melted clip',
      megohms: { a: 2.1 },
    };
    const response = await house.call('technician', 'POST', URL, body);
    expect(response.statusCode).toBe(201);
    const record = response.json();
    expect(record).toEqual({
      ...body,
      time: '2026-01-14T08:00:00Z',
      id: expect.stringMatching(/^[A-Za-z0-9_-]{1,64}$/),
      recordedAt: '2026-01-15T12:00:00Z',
      recordedBy: expect.stringMatching(/^token /),
    });
    expect(house.live.serviced).toEqual(['harbour/rtu-01']);
    expect((await house.call('viewer', 'GET', URL)).json()).toEqual({
      items: [record],
      next: null,
    });
  });

  it('are announced to the watches when only the answer of the store was lost', async () => {
    const house = await openHouse({
      records: () => ({
        addServiceRecord: async () => {
          throw new StoreError('STORE_UNAVAILABLE', 'no answer');
        },
      }),
    });
    const body = { action: 'fuses-replaced', phases: ['a'] };
    expect((await house.call('technician', 'POST', URL, body)).statusCode).toBe(503);
    expect(house.live.serviced).toEqual(['harbour/rtu-01']);
  });

  it('are dated now when no time is given', async () => {
    const house = await openHouse();
    const response = await house.call('office', 'POST', URL, { action: 'inspection' });
    expect(response.json().time).toBe('2026-01-15T12:00:00Z');
  });

  it('are listed newest first by when it was done', async () => {
    const house = await openHouse();
    for (const time of ['2026-01-02T00:00:00Z', '2026-01-03T00:00:00Z', '2026-01-01T00:00:00Z']) {
      await house.call('office', 'POST', URL, { action: 'cleaned', time });
    }
    const { items } = (await house.call('office', 'GET', URL)).json();
    const days = items.map((one: { time: string }) => one.time.slice(8, 10));
    expect(days).toEqual(['03', '02', '01']);
  });

  it.each(SERVICE_ACTIONS)('take the action %s', async (action) => {
    const house = await openHouse();
    expect((await house.call('office', 'POST', URL, { action })).statusCode).toBe(201);
  });

  it('take a time of 5 minutes ahead, and no more', async () => {
    const house = await openHouse();
    const action = 'cleaned';
    const at = (time: string) => house.call('office', 'POST', URL, { action, time });
    expect((await at('2026-01-15T12:05:00Z')).statusCode).toBe(201);
    expect((await at('2026-01-15T12:05:00.001Z')).statusCode).toBe(400);
  });

  it.each([
    [{}, 'action'],
    [{ action: 'kicked' }, 'action'],
    [{ action: 'cleaned', time: 'noon' }, 'time'],
    [{ action: 'cleaned', time: '2026-01-15T12:06:00Z' }, 'time'],
    [{ action: 'cleaned', time: '1969-12-31T23:59:59Z' }, 'time'],
    [{ action: 'cleaned', phases: ['a', 'd'] }, 'phases.1'],
    [{ action: 'cleaned', phases: ['a', 'a'] }, 'phases'],
    [{ action: 'cleaned', phases: 'a' }, 'phases'],
    [{ action: 'cleaned', site: 'mill' }, 'site'],
    [{ action: 'cleaned', unit: 'rtu-02' }, 'unit'],
    [['cleaned'], ''],
  ])('refuse %j with 400 and name %j', async (body, path) => {
    const house = await openHouse();
    const response = await house.call('office', 'POST', URL, body);
    expect(response.statusCode).toBe(400);
    expect(response.json().errors.map((one: { path: string }) => one.path)).toContain(path);
    expect(house.records.services).toEqual([]);
  });

  it('may not be larger than 64 KiB', async () => {
    const house = await openHouse();
    const body = { action: 'cleaned', note: 'x'.repeat(65_536) };
    const response = await house.call('office', 'POST', URL, body);
    expect(response.statusCode).toBe(413);
    expect(response.json().code).toBe('API_BODY_TOO_LARGE');
  });

  it('of an unknown unit are 404', async () => {
    const house = await openHouse();
    const url = '/api/units/harbour/rtu-99/service';
    expect((await house.call('office', 'POST', url, { action: 'cleaned' })).statusCode).toBe(404);
  });
});
