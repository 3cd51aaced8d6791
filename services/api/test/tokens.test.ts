import { describe, expect, it } from 'vitest';
import { hashSecret } from '../src/auth/secrets.ts';
import { createToken } from '../src/index.ts';
import { openHouse } from './support/house.ts';

describe('a new token', () => {
  it('has our prefix and 256 random bits, and only its hash is stored', async () => {
    const { records } = await openHouse();
    const token = await createToken(records, { role: 'viewer', sites: ['mill'], nowMs: 5 });
    expect(token).toMatch(/^lineside_[A-Za-z0-9_-]{43}$/);
    expect(await records.tokenByHash(token)).toBeNull();
    expect(await records.tokenByHash(hashSecret(token))).toMatchObject({
      role: 'viewer',
      sites: ['mill'],
      createdAtMs: 5,
    });
    expect(hashSecret(token)).toMatch(/^[0-9a-f]{64}$/);
  });

  it('reads all sites unless it is for a viewer', async () => {
    const { records } = await openHouse();
    const token = await createToken(records, { role: 'technician', sites: ['mill'], nowMs: 5 });
    expect(await records.tokenByHash(hashSecret(token))).toMatchObject({ sites: null });
  });

  it('counts from the next request', async () => {
    const house = await openHouse();
    const token = await createToken(house.records, { role: 'office', sites: [], nowMs: 5 });
    const headers = { authorization: `bearer ${token}` };
    expect((await house.app.inject({ url: '/api/units', headers })).statusCode).toBe(200);
  });
});

describe('the rate of requests', () => {
  it('lets a token ask 100 times a second for as long as it likes', async () => {
    const house = await openHouse();
    for (let second = 0; second < 4; second += 1) {
      for (let at = 0; at < 100; at += 1) {
        const response = await house.call('office', 'GET', '/api/session');
        expect(response.statusCode).toBe(401);
      }
      house.nowMs += 1000;
    }
  });

  it('stops one token beyond 400 at once with 429, and leaves others alone', async () => {
    const house = await openHouse();
    const statuses = new Map<number, number>();
    for (let at = 0; at < 450; at += 1) {
      const { statusCode } = await house.call('office', 'GET', '/api/units/harbour/none');
      statuses.set(statusCode, (statuses.get(statusCode) ?? 0) + 1);
    }
    expect([...statuses]).toEqual([
      [404, 400],
      [429, 50],
    ]);
    const refused = await house.call('office', 'GET', '/api/units');
    expect(refused.headers['retry-after']).toBe('1');
    expect((await house.call('technician', 'GET', '/api/units')).statusCode).toBe(200);
    house.nowMs += 1000;
    expect((await house.call('office', 'GET', '/api/units')).statusCode).toBe(200);
  });

  it('stops an address that keeps sending tokens that are not known', async () => {
    const house = await openHouse();
    const headers = { authorization: 'Bearer lineside_wrong' };
    let refused = 0;
    for (let at = 0; at < 120; at += 1) {
      const response = await house.app.inject({ url: '/api/units', headers });
      if (response.statusCode === 429) refused += 1;
    }
    expect(refused).toBe(20);
  });
});
