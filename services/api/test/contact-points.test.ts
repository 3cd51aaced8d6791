import type { OutboxMessage } from '@lineside/storage';
import { describe, expect, it } from 'vitest';
import type { SentTest } from '../src/dependencies.ts';
import { openHouse, START_MS } from './support/house.ts';
import { ROTA } from './support/rota.ts';
import { signedIn } from './support/signed-in.ts';

const MINE = '/api/contact-points/mine';
const KEYS = { p256dh: `B${'x'.repeat(86)}`, auth: 'y'.repeat(22) };

const device = (endpoint: string, more: object = {}) => ({
  name: 'Phone of mine',
  subscription: { endpoint, keys: KEYS },
  ...more,
});

describe('contact points of mine', () => {
  it('are the devices that I add and what the office entered', async () => {
    const house = await openHouse();
    await house.records.saveRota(ROTA, 0);
    const ana = await signedIn(house, house.records, 'Ana', 'technician');
    const added = await ana('POST', MINE, device('https://push.example.net/abc'));
    expect(added.statusCode, added.body).toBe(201);
    await ana('POST', MINE, device('https://push.example.net/abc', { name: 'Same phone' }));
    const mail = { id: 'ana-mail', person: 'ana', channel: 'e-mail', name: 'Mail of Ana' } as const;
    await house.records.setContactPoint({
      ...{ ...mail, address: 'ana@example.org', createdAtMs: START_MS, origin: 'file' },
    });
    await house.records.setContactPoint({
      ...{ ...mail, id: 'ben-mail', person: 'ben', address: '', createdAtMs: 0, origin: 'file' },
    });
    const { items } = (await ana('GET', MINE)).json();
    expect(items.map(({ name }: { name: string }) => name)).toEqual(['Mail of Ana', 'Same phone']);
    expect(JSON.stringify(items)).not.toContain('push.example.net');
    expect(house.records.contactList.get(added.json().id)).toMatchObject({
      ...{ person: 'ana', channel: 'web-push' },
      address: { endpoint: 'https://push.example.net/abc', keys: KEYS },
    });
    expect((await ana('DELETE', `${MINE}/ana-mail`)).statusCode).toBe(409);
    expect((await ana('DELETE', `${MINE}/ben-mail`)).statusCode).toBe(404);
    expect((await ana('DELETE', `${MINE}/${added.json().id}`)).statusCode).toBe(204);
    expect((await ana('GET', MINE)).json().items).toHaveLength(1);
  });

  it('move with the subscription when the browser renews it', async () => {
    const house = await openHouse();
    const ana = await signedIn(house, house.records, 'ana', 'technician');
    await ana('POST', MINE, device('https://push.example.net/old'));
    const replaces = 'https://push.example.net/old';
    const renewed = { ...device('https://push.example.net/new', { replaces }), name: undefined };
    expect((await ana('POST', MINE, renewed)).json().name).toBe('Phone of mine');
    const { items } = (await ana('GET', MINE)).json();
    expect(items).toHaveLength(1);
  });

  it('go to whoever signed in last on a shared device', async () => {
    const house = await openHouse();
    const ana = await signedIn(house, house.records, 'ana', 'technician');
    const ben = await signedIn(house, house.records, 'ben', 'technician');
    await ana('POST', MINE, device('https://push.example.net/shared'));
    await ben('POST', MINE, device('https://push.example.net/shared'));
    expect((await ana('GET', MINE)).json().items).toEqual([]);
    expect((await ben('GET', MINE)).json().items).toHaveLength(1);
  });

  it('are ten devices at most', async () => {
    const house = await openHouse();
    const ana = await signedIn(house, house.records, 'ana', 'technician');
    const statuses: number[] = [];
    for (let at = 0; at < 11; at += 1) {
      const added = await ana('POST', MINE, device(`https://push.example.net/${at}`));
      statuses.push(added.statusCode);
    }
    expect(statuses).toEqual([...Array(10).fill(201), 409]);
  });

  it.each([
    ['http', device('http://push.example.net/abc'), 'subscription.endpoint'],
    ['a password', device('https://a:b@push.example.net/'), 'subscription.endpoint'],
    ['no address', device('nonsense'), 'subscription.endpoint'],
    ['two lines', device('https://push.example.net/', { name: 'a\nb' }), 'name'],
    [
      'a key that is none',
      { name: 'x', subscription: { endpoint: 'https://p.example/', keys: { ...KEYS, auth: 'x' } } },
      'subscription.keys.auth',
    ],
  ])('are refused with %s', async (_what, body, path) => {
    const house = await openHouse();
    const ana = await signedIn(house, house.records, 'ana', 'technician');
    const refused = await ana('POST', MINE, body);
    expect(refused.statusCode).toBe(400);
    expect(refused.json().errors[0].path).toBe(path);
  });

  it('take no device where the server sends no push', async () => {
    const alerting = { pushPublicKey: null, sendTest: async () => [] };
    const house = await openHouse({ alerting });
    const ana = await signedIn(house, house.records, 'ana', 'technician');
    expect((await ana('GET', '/api/push-key')).json()).toEqual({ publicKey: null });
    expect((await ana('POST', MINE, device('https://push.example.net/a'))).statusCode).toBe(409);
  });

  it('are for people who sign in, not for tokens or viewers', async () => {
    const house = await openHouse();
    expect((await house.call('technician', 'GET', MINE)).statusCode).toBe(401);
    const viewer = await signedIn(house, house.records, 'vic', 'viewer');
    expect((await viewer('POST', MINE, device('https://push.example.net/v'))).statusCode).toBe(403);
    const ana = await signedIn(house, house.records, 'ana', 'technician');
    expect((await ana('GET', '/api/push-key')).json()).toEqual({ publicKey: 'BKey' });
  });
});

describe('a test page', () => {
  const PHONE: SentTest = { contact: 'ana-phone', channel: 'web-push', name: 'phone of Ana' };

  it('goes to all contact points of the person, and says where', async () => {
    const asked: string[] = [];
    const sendTest = async (person: string) => {
      asked.push(person);
      return [PHONE];
    };
    const house = await openHouse({ alerting: { pushPublicKey: 'BKey', sendTest } });
    await house.records.saveRota(ROTA, 0);
    const ana = await signedIn(house, house.records, 'ANA', 'technician');
    const sent = await ana('POST', '/api/test-page');
    expect(sent.statusCode).toBe(202);
    expect(asked).toEqual(['ana']);
    expect(sent.json().sent).toEqual([PHONE]);
    expect(sent.json().words).toContain('phone of Ana (push)');
  });

  it('is refused when there is nothing to page, and when it is asked for all the time', async () => {
    const house = await openHouse();
    const ana = await signedIn(house, house.records, 'ana', 'technician');
    expect((await ana('POST', '/api/test-page')).statusCode).toBe(409);
    for (let tries = 0; tries < 3; tries += 1) await ana('POST', '/api/test-page');
    const refused = await ana('POST', '/api/test-page');
    expect(refused.statusCode).toBe(429);
    expect(refused.headers['retry-after']).toBe('30');
  });
});

describe('the health of alerting', () => {
  it('is the last reading, the last page of each channel, and what waits', async () => {
    const house = await openHouse();
    const message: OutboxMessage = {
      ...{ id: 'm1', revision: 1, pageKey: 'p', person: 'ana', contact: 'ana-phone' },
      ...{ channel: 'web-push', words: {}, createdAtMs: START_MS, dueAtMs: START_MS + 60_000 },
      ...{ expiresAtMs: START_MS + 3_600_000, state: 'waiting', attempts: 1 },
      ...{ handedOverAtMs: null, failure: 'the push service answered 503' },
    };
    house.records.outbox.push(message);
    house.records.outbox.push({
      ...{ ...message, id: 'm0', state: 'handed-over', failure: null },
      ...{ createdAtMs: START_MS - 10_000, handedOverAtMs: START_MS - 5_000 },
    });
    const ref = { site: 'harbour', unit: 'rtu-01' };
    house.live.readings.set('harbour/rtu-01', { ...ref, atMs: START_MS - 60_000, channels: {} });
    const health = await house.call('technician', 'GET', '/api/alerting');
    expect(health.json()).toEqual({
      at: '2026-01-15T12:00:00Z',
      lastReading: '2026-01-15T11:59:00Z',
      handedOver: [{ channel: 'web-push', at: '2026-01-15T11:59:55Z' }],
      waiting: { messages: 1, isMore: false, oldest: '2026-01-15T12:00:00Z' },
      failure: {
        ...{ at: '2026-01-15T12:00:00Z', channel: 'web-push', givenUp: false },
        reason: 'the push service answered 503',
      },
    });
    expect((await house.call('viewer', 'GET', '/api/alerting')).statusCode).toBe(403);
  });
});
