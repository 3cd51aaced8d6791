import { connect } from 'node:net';
import { StoreError } from '@lineside/storage';
import { describe, expect, it } from 'vitest';
import { PROBLEMS } from '../src/errors/problem-table.ts';
import { type House, openHouse } from './support/house.ts';

const failing = (code: ConstructorParameters<typeof StoreError>[0]): Promise<House> =>
  openHouse({
    records: () => ({
      alarms: async () => {
        throw new StoreError(code, 'SQLITE_BUSY at /var/secret/records.db');
      },
    }),
  });

describe('every error is problem details', () => {
  it('for an address that is not known', async () => {
    const house = await openHouse();
    for (const url of ['/api/nothing', '/nothing', '/api', '/api/units/harbour/rtu-01/nothing']) {
      const response = await house.call('office', 'GET', url);
      expect(response.statusCode).toBe(404);
      expect(response.headers['content-type']).toBe('application/problem+json; charset=utf-8');
      expect(response.json()).toEqual({
        type: 'about:blank',
        title: 'Not found',
        status: 404,
        detail: 'This address is not known here, or not among your sites.',
        code: 'API_NOT_FOUND',
      });
    }
    expect((await house.call('office', 'PUT', '/api/units')).statusCode).toBe(404);
  });

  it('for a URL that cannot be read', async () => {
    const house = await openHouse();
    const response = await house.call('office', 'GET', '/api/units/%zz/rtu-01');
    expect(response.statusCode).toBe(400);
    expect(response.json().code).toBe('API_BAD_REQUEST');
  });

  it.each([
    ['{"action":', 400, 'API_MALFORMED_BODY'],
    ['{"__proto__":{"a":1},"action":"cleaned"}', 400, 'API_MALFORMED_BODY'],
    ['', 400, 'API_BAD_REQUEST'],
  ])('for the body %j', async (payload, status, code) => {
    const house = await openHouse();
    const authorization = `Bearer ${await house.token('office')}`;
    const response = await house.app.inject({
      ...{ method: 'POST', url: '/api/units/harbour/rtu-01/service', payload },
      headers: { authorization, 'content-type': 'application/json' },
    });
    expect(response.statusCode).toBe(status);
    expect(response.json()).toMatchObject({ code, status });
  });

  it('for a body that is not JSON', async () => {
    const house = await openHouse();
    const authorization = `Bearer ${await house.token('office')}`;
    const response = await house.app.inject({
      ...{ method: 'POST', url: '/api/units/harbour/rtu-01/service', payload: 'action=cleaned' },
      headers: { authorization, 'content-type': 'application/x-www-form-urlencoded' },
    });
    expect(response.statusCode).toBe(415);
    expect(response.json().code).toBe('API_UNSUPPORTED_TYPE');
  });

  it('for several mistakes at once, each with its path', async () => {
    const house = await openHouse();
    const url = '/api/alarms?limit=0&kind=noise&from=now';
    const { errors } = (await house.call('office', 'GET', url)).json();
    expect(errors.map((one: { path: string }) => one.path).sort()).toEqual([
      'from',
      'kind',
      'limit',
    ]);
    for (const { message } of errors) expect(message).toMatch(/^must /);
  });

  it.each(['STORE_UNAVAILABLE', 'STORE_CLOSED', 'STORE_FULL'] as const)(
    'for a store that fails with %s: 503 and when to try again',
    async (code) => {
      const house = await failing(code);
      const response = await house.call('office', 'GET', '/api/alarms');
      expect(response.statusCode).toBe(503);
      expect(response.headers['retry-after']).toBe('5');
      expect(response.json().code).toBe('API_STORE_UNAVAILABLE');
      expect(response.body).not.toMatch(/SQLITE|secret/);
      expect(house.log()).toContain('SQLITE_BUSY');
    },
  );

  it('in plain words for what is missing or of another type', async () => {
    const house = await openHouse();
    const answer = await house.call('office', 'POST', '/api/session', { username: 7 });
    expect(answer.json().errors).toEqual([
      { path: 'username', message: 'must be a string, found number' },
      { path: 'password', message: 'is missing: expected a string' },
    ]);
  });

  it('for a mistake of ours: 500 without a word of it, which is in the log', async () => {
    const house = await openHouse({
      records: () => ({
        presences: () => {
          throw new TypeError('cannot read x of undefined');
        },
      }),
    });
    const response = await house.call('office', 'GET', '/api/units');
    expect(response.statusCode).toBe(500);
    expect(response.json()).toEqual({
      type: 'about:blank',
      title: 'The server failed',
      status: 500,
      detail: 'It is in the log of the server.',
      code: 'API_INTERNAL',
    });
    expect(house.log()).toContain('cannot read x of undefined');
  });

  it('for what a store calls our mistake, when no cursor is to blame', async () => {
    const house = await failing('STORE_BAD_INPUT');
    expect((await house.call('office', 'GET', '/api/alarms')).statusCode).toBe(500);
  });

  it('for what is not even HTTP', async () => {
    const house = await openHouse();
    await house.app.listen({ port: 0, host: '127.0.0.1' });
    const address = house.app.server.address();
    if (address === null || typeof address === 'string') throw new Error('no port');
    const answer = await new Promise<string>((resolve, reject) => {
      const socket = connect(address.port, '127.0.0.1', () => socket.end('NONSENSE\r\n\r\n'));
      let text = '';
      socket.on('data', (chunk) => {
        text += chunk;
      });
      socket.on('end', () => resolve(text));
      socket.on('error', reject);
    });
    expect(answer).toMatch(/^HTTP\/1\.1 400 /);
    expect(answer).toContain('content-type: application/problem+json');
    expect(JSON.parse(answer.slice(answer.indexOf('\r\n\r\n') + 4)).status).toBe(400);
  });
});

describe('the table of problems', () => {
  it('names each code after this room', () => {
    for (const [code, { status }] of Object.entries(PROBLEMS)) {
      expect(code).toMatch(/^API_[A-Z_]+$/);
      expect(status).toBeGreaterThanOrEqual(400);
    }
  });
});
