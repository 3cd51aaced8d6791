import { StoreError } from '@lineside/storage';
import { describe, expect, it } from 'vitest';
import { type House, openHouse } from './support/house.ts';

const PROXY = '172.30.1.2';
const BEHIND_PROXY = { trustedProxies: ['172.30.1.0/24', 'fd00:30::/64'] };
/** What an address may do at once, of sign-ins and looks at invitations together. */
const SIGN_IN_BURST = 20;

function ask(house: House, from: string, forwarded: string | null) {
  return house.app.inject({
    url: '/api/invitation/guessed',
    remoteAddress: from,
    headers:
      forwarded === null ? {} : { 'x-forwarded-for': forwarded, 'x-forwarded-proto': 'https' },
  });
}

/** Uses up what the address that the server sees may do; gives the status of one request more. */
async function exhaust(house: House, from: string, forwarded: (at: number) => string | null) {
  for (let at = 0; at < SIGN_IN_BURST; at += 1) {
    expect((await ask(house, from, forwarded(at))).statusCode).toBe(404);
  }
  return (await ask(house, from, forwarded(SIGN_IN_BURST))).statusCode;
}

describe('behind a reverse proxy', () => {
  it('limits each client by itself, not all by the address of the proxy', async () => {
    const house = await openHouse(BEHIND_PROXY);
    expect(await exhaust(house, PROXY, () => '203.0.113.7')).toBe(429);
    expect((await ask(house, PROXY, '203.0.113.8')).statusCode).toBe(404);
    const signIn = await house.app.inject({
      method: 'POST',
      url: '/api/session',
      remoteAddress: PROXY,
      headers: { 'x-forwarded-for': '203.0.113.7' },
      payload: { username: 'Morgan', password: 'four wet squirrels' },
    });
    expect(signIn.statusCode).toBe(429);
  });

  it('sees the proxy as an IPv4 address within IPv6, and over IPv6', async () => {
    const house = await openHouse(BEHIND_PROXY);
    expect(await exhaust(house, `::ffff:${PROXY}`, () => '203.0.113.7')).toBe(429);
    expect((await ask(house, 'fd00:30::2', '203.0.113.7')).statusCode).toBe(429);
    expect((await ask(house, 'fd00:31::2', '203.0.113.7')).statusCode).toBe(404);
  });

  it('counts what the proxy saw, whatever a client wrote before it', async () => {
    const house = await openHouse(BEHIND_PROXY);
    expect(await exhaust(house, PROXY, (at) => `198.51.100.${at}, 203.0.113.7`)).toBe(429);
  });

  it('counts the client behind two proxies of ours', async () => {
    const house = await openHouse(BEHIND_PROXY);
    expect(await exhaust(house, PROXY, () => '203.0.113.7, 172.30.1.9')).toBe(429);
    expect((await ask(house, PROXY, '203.0.113.8, 172.30.1.9')).statusCode).toBe(404);
  });

  it('believes nobody outside its networks, who would name another address each time', async () => {
    const house = await openHouse(BEHIND_PROXY);
    expect(await exhaust(house, '172.30.2.2', (at) => `198.51.100.${at}`)).toBe(429);
  });

  it('names the client in the log when a request fails', async () => {
    const house = await openHouse({
      ...BEHIND_PROXY,
      records: () => ({
        invitation: async () => {
          throw new StoreError('STORE_UNAVAILABLE', 'the disk is full');
        },
      }),
    });
    expect((await ask(house, PROXY, '203.0.113.7')).statusCode).toBe(503);
    expect(house.log()).toContain('"client":"203.0.113.7"');
    await ask(house, '172.30.2.2', '203.0.113.9');
    expect(house.log()).toContain('"client":"172.30.2.2"');
    expect(house.log()).not.toContain('203.0.113.9');
  });
});

describe('without a reverse proxy', () => {
  it('believes nobody who names another address', async () => {
    const house = await openHouse();
    expect(await exhaust(house, '127.0.0.1', (at) => `198.51.100.${at}`)).toBe(429);
    expect((await ask(house, '127.0.0.2', '127.0.0.1')).statusCode).toBe(404);
  });
});
