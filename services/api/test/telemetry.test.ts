import { describe, expect, it } from 'vitest';
import { openHouse, RANGE_BYTES, START_MS } from './support/house.ts';

const URL = '/api/units/harbour/rtu-01/telemetry';

describe('telemetry', () => {
  it("is the store's own bytes", async () => {
    const house = await openHouse();
    const response = await house.call('office', 'GET', URL);
    expect(response.headers['content-type']).toBe('application/json; charset=utf-8');
    expect(response.body).toBe(RANGE_BYTES);
  });

  it('covers the last 24 hours, all channels and 1,000 points unless asked otherwise', async () => {
    const house = await openHouse();
    await house.call('office', 'GET', URL);
    const fromMs = START_MS - 24 * 3_600_000;
    const span = { fromMs, toMs: START_MS };
    const unit = { site: 'harbour', unit: 'rtu-01' };
    expect(house.asked).toEqual([{ ...unit, ...span, channels: null, points: 1000 }]);
  });

  it('asks the store for what the query says', async () => {
    const house = await openHouse();
    const query = 'from=2026-01-01T00:00:00%2B01:00&to=2026-01-02T00:00:00.5Z&points=20000';
    await house.call('office', 'GET', `${URL}?${query}&channels=rh,leak,rh`);
    expect(house.asked[0]).toEqual({
      site: 'harbour',
      unit: 'rtu-01',
      fromMs: Date.UTC(2025, 11, 31, 23),
      toMs: Date.UTC(2026, 0, 2) + 500,
      channels: ['rh', 'leak'],
      points: 20_000,
    });
  });

  it('ends the day before to when only to is given', async () => {
    const house = await openHouse();
    await house.call('office', 'GET', `${URL}?to=2025-06-02T00:00:00Z`);
    expect(house.asked[0]).toMatchObject({
      fromMs: Date.UTC(2025, 5, 1),
      toMs: Date.UTC(2025, 5, 2),
    });
  });

  it('asks for nothing outside the years that the store knows', async () => {
    const house = await openHouse();
    await house.call('office', 'GET', `${URL}?from=0001-01-01T00:00:00Z&to=9999-12-31T23:59:59Z`);
    expect(house.asked[0]).toMatchObject({ fromMs: 0, toMs: Date.UTC(9999, 11, 31, 23, 59, 59) });
  });

  it('gives the outdoor station of a site as unit weather', async () => {
    const house = await openHouse();
    const response = await house.call('viewer', 'GET', '/api/units/harbour/weather/telemetry');
    expect(response.statusCode).toBe(200);
    expect(house.asked[0]).toMatchObject({ site: 'harbour', unit: 'weather' });
    const nowhere = await house.call('office', 'GET', '/api/units/nowhere/weather/telemetry');
    expect(nowhere.statusCode).toBe(404);
  });

  it.each([
    ['points=0', 'points'],
    ['points=20001', 'points'],
    ['points=1.5', 'points'],
    ['points=many', 'points'],
    ['channels=rh,nonsense', 'channels'],
    ['channels=', 'channels'],
    ['from=yesterday', 'from'],
    ['from=2026-02-30T00:00:00Z', 'from'],
    ['from=2026-01-02T00:00:00', 'from'],
    ['to=2026-01-02', 'to'],
    ['from=2026-01-02T00:00:00Z&to=2026-01-02T00:00:00Z', 'from'],
    ['from=2026-01-02T00:00:00Z&to=2026-01-01T00:00:00Z', 'from'],
    ['from=2027-01-02T00:00:00Z', 'from'],
  ])('with %s is 400 and names %s', async (query, path) => {
    const house = await openHouse();
    const response = await house.call('office', 'GET', `${URL}?${query}`);
    expect(response.statusCode).toBe(400);
    expect(response.json().errors[0].path).toBe(path);
    expect(house.asked).toEqual([]);
  });
});
