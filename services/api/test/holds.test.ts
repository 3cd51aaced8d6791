import { describe, expect, it } from 'vitest';
import { type House, openHouse, START_MS } from './support/house.ts';

const UNIT = '/api/units/harbour/rtu-01';
const DAY_MS = 86_400_000;

function at(ms: number): string {
  return new Date(START_MS + ms).toISOString().replace('.000Z', 'Z');
}

function visit(more: object = {}) {
  return { kind: 'maintenance', reason: 'new disconnect', until: at(2 * 3_600_000), ...more };
}

function outOfService(more: object = {}) {
  const until = at(90 * DAY_MS);
  return { kind: 'out-of-service', owner: 'rosa', reason: 'compressor ordered', until, ...more };
}

async function added(house: House, body: object): Promise<{ readonly id: string }> {
  const response = await house.call('technician', 'POST', `${UNIT}/holds`, body);
  expect(response.statusCode, response.body).toBe(201);
  return response.json();
}

describe('a hold of a unit', () => {
  it('is kept with who, why and until when, and listed', async () => {
    const house = await openHouse();
    const hold = await added(house, visit());
    expect(hold).toEqual({
      id: expect.any(String),
      site: 'harbour',
      unit: 'rtu-01',
      kind: 'maintenance',
      owner: expect.stringMatching(/^token /),
      reason: 'new disconnect',
      from: at(0),
      until: at(2 * 3_600_000),
      ended: null,
      endedBy: null,
    });
    const list = await house.call('viewer', 'GET', `${UNIT}/holds`);
    expect(list.json()).toEqual({ items: [hold], next: null });
    expect((await house.call('viewer', 'GET', '/api/units/mill/rtu-01/holds')).statusCode).toBe(
      404,
    );
  });

  it('is shown with its unit while it is in force, and ends by itself', async () => {
    const house = await openHouse();
    const held = async () => (await house.call('viewer', 'GET', UNIT)).json().hold;
    expect(await held()).toBeNull();
    const hold = await added(house, visit({ from: at(60_000) }));
    expect(await held()).toBeNull();
    house.nowMs += 60_000;
    expect(await held()).toEqual(hold);
    const [first, second] = (await house.call('viewer', 'GET', '/api/units')).json().items;
    expect([first.hold, second.hold]).toEqual([hold, null]);
    const longer = await added(house, outOfService());
    expect(await held()).toEqual(longer);
    house.nowMs = START_MS + 91 * DAY_MS;
    expect(await held()).toBeNull();
  });

  it('ends before its time when somebody says so, twice is no error', async () => {
    const house = await openHouse();
    const { id } = await added(house, outOfService());
    house.nowMs += 1_000;
    const end = () => house.call('technician', 'POST', `/api/holds/${id}/end`, {});
    expect((await end()).statusCode).toBe(204);
    house.nowMs += 1_000;
    expect((await end()).statusCode).toBe(204);
    const [hold] = (await house.call('office', 'GET', `${UNIT}/holds`)).json().items;
    expect(hold).toMatchObject({ ended: at(1_000), endedBy: expect.stringMatching(/^token /) });
    expect((await house.call('office', 'GET', UNIT)).json().hold).toBeNull();
    expect((await house.call('office', 'POST', '/api/holds/none/end', {})).statusCode).toBe(404);
  });

  it.each<readonly [string, object, string]>([
    ['without an owner for a unit out of service', outOfService({ owner: undefined }), 'owner'],
    ['without a reason', visit({ reason: ' ' }), 'reason'],
    ['without an end', visit({ until: undefined }), 'until'],
    ['that is over', visit({ until: at(0) }), 'until'],
    ['of maintenance for longer than 30 days', visit({ until: at(31 * DAY_MS) }), 'until'],
    ['out of service for longer than 180 days', outOfService({ until: at(181 * DAY_MS) }), 'until'],
    ['of another kind', visit({ kind: 'holiday' }), 'kind'],
    ['that began long ago', visit({ from: at(-2 * DAY_MS) }), 'from'],
  ])('%s is 400', async (_, body, path) => {
    const house = await openHouse();
    const response = await house.call('office', 'POST', `${UNIT}/holds`, body);
    expect(response.statusCode).toBe(400);
    expect(response.json().errors).toEqual([expect.objectContaining({ path })]);
    expect(house.records.holds.size).toBe(0);
  });

  it('is for those who answer for units', async () => {
    const house = await openHouse();
    const { id } = await added(house, visit());
    for (const url of [`${UNIT}/holds`, `/api/holds/${id}/end`]) {
      expect((await house.call('viewer', 'POST', url, visit())).statusCode).toBe(403);
    }
    const elsewhere = '/api/units/harbour/rtu-77/holds';
    expect((await house.call('office', 'POST', elsewhere, visit())).statusCode).toBe(404);
  });

  it('is refused when a unit has too many that are not over', async () => {
    const house = await openHouse();
    for (let count = 0; count < 20; count++) await added(house, visit());
    const response = await house.call('office', 'POST', `${UNIT}/holds`, visit());
    expect(response.statusCode).toBe(409);
    expect(response.json().detail).toBe('The unit has 20 holds that are not over. End some first.');
    house.nowMs += 2 * 3_600_000;
    await added(house, outOfService());
  });

  it('does not begin by recording a visit', async () => {
    const house = await openHouse();
    await house.call('technician', 'POST', `${UNIT}/service`, { action: 'inspection' });
    expect((await house.call('office', 'GET', UNIT)).json().hold).toBeNull();
  });
});
