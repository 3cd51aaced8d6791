import type { LightMyRequestResponse } from 'fastify';
import { describe, expect, it } from 'vitest';
import { hashSecret } from '../src/auth/secrets.ts';
import { SESSION_IDLE_MS, SESSION_LONGEST_MS } from '../src/auth/sessions.ts';
import { firstInvitation } from '../src/index.ts';
import { type House, type HouseOptions, openHouse, START_MS } from './support/house.ts';

const PASSWORD = 'four wet squirrels';
const NAME = 'Morgan';

async function invited(options: HouseOptions = {}): Promise<{ house: House; secret: string }> {
  const house = await openHouse(options);
  const secret = await firstInvitation(house.records, () => house.nowMs);
  return { house, secret: secret ?? '' };
}

function accept(house: House, secret: string, more: object = {}): Promise<LightMyRequestResponse> {
  const body = { secret, username: NAME, displayName: 'Morgan L.', password: PASSWORD, ...more };
  return house.call(null, 'POST', '/api/invitation', body);
}

async function withPerson(options: HouseOptions = {}): Promise<House> {
  const { house, secret } = await invited(options);
  expect((await accept(house, secret)).statusCode).toBe(201);
  return house;
}

const signIn = (house: House, username = NAME, password = PASSWORD) =>
  house.call(null, 'POST', '/api/session', { username, password });

interface Signed {
  readonly cookie: string;
  readonly csrf: string;
}

async function signedIn(house: House): Promise<Signed> {
  const response = await signIn(house);
  const [cookie] = response.cookies;
  return { cookie: `${cookie?.name}=${cookie?.value}`, csrf: response.json().csrfToken };
}

function as(
  house: House,
  { cookie }: Signed,
  method: 'GET' | 'POST' | 'DELETE',
  url: string,
  headers: Record<string, string> = {},
) {
  const payload = method === 'POST' ? { payload: {} } : {};
  return house.app.inject({ method, url, headers: { cookie, ...headers }, ...payload });
}

describe('the first invitation', () => {
  it('lets one person choose a name and a password, once', async () => {
    const { house, secret } = await invited();
    const read = await house.call(null, 'GET', `/api/invitation/${secret}`);
    expect(read.json()).toEqual({ role: 'office' });
    const accepted = await accept(house, secret);
    expect(accepted.statusCode).toBe(201);
    expect(accepted.json()).toEqual({
      person: { username: NAME, displayName: 'Morgan L.', role: 'office', sites: null },
      csrfToken: expect.any(String),
    });
    expect(accepted.cookies).toHaveLength(1);
    expect((await accept(house, secret, { username: 'other' })).statusCode).toBe(404);
    expect((await house.call(null, 'GET', `/api/invitation/${secret}`)).statusCode).toBe(404);
    expect(await firstInvitation(house.records, () => house.nowMs)).toBeNull();
  });

  it('keeps only the hash of its secret, and ends after a week', async () => {
    const { house, secret } = await invited();
    expect(secret.length).toBeGreaterThan(42);
    expect(await house.records.invitation(secret)).toBeNull();
    expect(await house.records.invitation(hashSecret(secret))).not.toBeNull();
    house.nowMs += 7 * 24 * 3_600_000;
    expect((await house.call(null, 'GET', `/api/invitation/${secret}`)).statusCode).toBe(404);
    expect((await accept(house, secret)).statusCode).toBe(404);
  });

  it.each([
    [{ password: 'eleven char' }, 'password'],
    [{ password: 'x'.repeat(257) }, 'password'],
    [{ username: 'twelve-chars', password: 'Twelve-Chars' }, 'password'],
    [{ username: '' }, 'username'],
    [{ username: 'with space' }, 'username'],
    [{ displayName: '  ' }, 'displayName'],
  ])('refuses %j with 400', async (more, path) => {
    const { house, secret } = await invited();
    const response = await accept(house, secret, more);
    expect(response.statusCode).toBe(400);
    expect(response.json().errors[0].path).toBe(path);
    expect(await house.records.countPeople()).toBe(0);
  });
});

describe('passwords', () => {
  it('are kept as argon2id with at least what OWASP asks for', async () => {
    const house = await withPerson();
    const person = await house.records.personByUsername(NAME);
    expect(person?.passwordHash).toMatch(/^\$argon2id\$v=19\$m=19456,t=2,p=1\$/);
  });

  it('fit whatever way their characters were typed', async () => {
    const { house, secret } = await invited();
    await accept(house, secret, { password: 'café au lait noir' });
    expect((await signIn(house, NAME, 'cafe\u0301 au lait noir')).statusCode).toBe(200);
  });
});

describe('sign-in', () => {
  it('answers who it is and sets a cookie that only this site gets', async () => {
    const house = await withPerson();
    const response = await signIn(house, 'mORGAN');
    expect(response.statusCode).toBe(200);
    expect(response.json().person.username).toBe(NAME);
    expect(response.cookies[0]).toMatchObject({
      httpOnly: true,
      sameSite: 'Strict',
      path: '/',
    });
    expect(response.cookies[0]).not.toHaveProperty('secure');
    expect(house.records.sessions.has(response.cookies[0]?.value ?? '')).toBe(false);
  });

  it('sets a Secure cookie for a public address with https', async () => {
    const house = await withPerson({ publicUrl: 'https://units.example' });
    const [cookie] = (await signIn(house)).cookies;
    expect(cookie).toMatchObject({ secure: true, name: '__Host-lineside' });
  });

  it('says the same of a wrong name and a wrong password', async () => {
    const house = await withPerson();
    const wrong = await signIn(house, NAME, 'not the password');
    const unknown = await signIn(house, 'nobody', PASSWORD);
    expect(wrong.statusCode).toBe(401);
    expect(wrong.headers['www-authenticate']).toBe('Bearer realm="lineside"');
    expect(unknown.statusCode).toBe(401);
    expect(unknown.json()).toEqual(wrong.json());
  });

  it('takes as long for an unknown name as for a wrong password', async () => {
    const house = await withPerson();
    const timed = async (username: string) => {
      const startMs = performance.now();
      await signIn(house, username, 'not the password');
      return performance.now() - startMs;
    };
    await timed('warm-up');
    const known = Math.min(await timed(NAME), await timed(NAME), await timed(NAME));
    const unknown = Math.min(await timed('u1'), await timed('u2'), await timed('u3'));
    // Without hashing it would be a hundredth.
    expect(unknown).toBeGreaterThan(known / 4);
  });

  it.each([NAME, 'nobody'])('slows down who guesses at the password of %s', async (username) => {
    const house = await withPerson();
    for (let failure = 1; failure <= 5; failure += 1) {
      expect((await signIn(house, username, 'wrong password')).statusCode).toBe(401);
    }
    const waits: number[] = [];
    for (let failure = 6; failure <= 9; failure += 1) {
      const refused = await signIn(house, username);
      expect(refused.statusCode).toBe(429);
      const wait = Number(refused.headers['retry-after']);
      waits.push(wait);
      house.nowMs += wait * 1000;
      expect((await signIn(house, username, 'wrong password')).statusCode).toBe(401);
    }
    expect(waits).toEqual([2, 4, 8, 16]);
  });

  it('forgets failures after a sign-in', async () => {
    const house = await withPerson();
    for (let failure = 1; failure <= 4; failure += 1) await signIn(house, NAME, 'wrong password');
    expect((await signIn(house)).statusCode).toBe(200);
    for (let failure = 1; failure <= 5; failure += 1) {
      expect((await signIn(house, NAME, 'wrong password')).statusCode).toBe(401);
    }
  });

  it('counts tries side by side one by one', async () => {
    const house = await withPerson();
    const tries = Array.from({ length: 12 }, () => signIn(house, NAME, 'wrong password'));
    const statuses = (await Promise.all(tries)).map((response) => response.statusCode);
    expect(statuses.filter((status) => status === 401)).toHaveLength(5);
    expect(statuses.filter((status) => status === 429)).toHaveLength(7);
  });

  it('is limited by address, whatever the name', async () => {
    const house = await withPerson();
    const tries = Array.from({ length: 25 }, (_, at) => signIn(house, `name-${at}`));
    const statuses = (await Promise.all(tries)).map((response) => response.statusCode);
    expect(statuses.filter((status) => status === 429).length).toBeGreaterThan(3);
    const refused = await signIn(house);
    expect(refused.statusCode).toBe(429);
    expect(Number(refused.headers['retry-after'])).toBeGreaterThan(0);
  });
});

describe('a session', () => {
  it('is read, used and ended', async () => {
    const house = await withPerson();
    const me = await signedIn(house);
    const session = await as(house, me, 'GET', '/api/session');
    expect(session.json()).toMatchObject({ person: { username: NAME }, csrfToken: me.csrf });
    expect(session.headers['cache-control']).toBe('no-store');
    expect((await as(house, me, 'GET', '/api/quarantine')).statusCode).toBe(200);
    const ended = await as(house, me, 'DELETE', '/api/session', { 'x-csrf-token': me.csrf });
    expect(ended.statusCode).toBe(204);
    expect(ended.body).toBe('');
    expect((await as(house, me, 'GET', '/api/session')).statusCode).toBe(401);
  });

  it('is 401 without a cookie, and for a token', async () => {
    const house = await openHouse();
    expect((await house.call(null, 'GET', '/api/session')).statusCode).toBe(401);
    expect((await house.call('office', 'GET', '/api/session')).statusCode).toBe(401);
  });

  it('ends after a week without a request', async () => {
    const house = await withPerson();
    const me = await signedIn(house);
    house.nowMs += SESSION_IDLE_MS;
    expect((await as(house, me, 'GET', '/api/session')).statusCode).toBe(401);
  });

  it('goes on while it is used, but not beyond 30 days', async () => {
    const house = await withPerson();
    const me = await signedIn(house);
    const endMs = START_MS + SESSION_LONGEST_MS;
    while (house.nowMs + SESSION_IDLE_MS / 2 < endMs) {
      house.nowMs += SESSION_IDLE_MS / 2;
      expect((await as(house, me, 'GET', '/api/session')).statusCode).toBe(200);
    }
    house.nowMs = endMs;
    expect((await as(house, me, 'GET', '/api/session')).statusCode).toBe(401);
  });

  it('replaces the one that the browser had', async () => {
    const house = await withPerson();
    const me = await signedIn(house);
    await house.app.inject({
      ...{ method: 'POST', url: '/api/session', headers: { cookie: me.cookie } },
      payload: { username: NAME, password: PASSWORD },
    });
    expect((await as(house, me, 'GET', '/api/session')).statusCode).toBe(401);
  });
});

describe('changes in a session', () => {
  const URL = '/api/alarms/none/acknowledge';

  it('need the token of the session', async () => {
    const house = await withPerson();
    const me = await signedIn(house);
    const bare = await as(house, me, 'POST', URL);
    expect(bare.statusCode).toBe(403);
    expect(bare.json().code).toBe('API_FOREIGN_ORIGIN');
    const wrong = await as(house, me, 'POST', URL, { 'x-csrf-token': `${me.csrf}x` });
    expect(wrong.statusCode).toBe(403);
    expect((await as(house, me, 'DELETE', '/api/session')).statusCode).toBe(403);
    const right = await as(house, me, 'POST', URL, { 'x-csrf-token': me.csrf });
    expect(right.statusCode).toBe(404);
  });

  it('must come from our own page where the browser says from which', async () => {
    const house = await withPerson({ publicUrl: 'https://units.example' });
    const me = await signedIn(house);
    const from = (origin: string) =>
      as(house, me, 'POST', URL, { 'x-csrf-token': me.csrf, origin, host: '10.0.0.9:8080' });
    expect((await from('https://evil.example')).statusCode).toBe(403);
    expect((await from('null')).statusCode).toBe(403);
    expect((await from('https://units.example')).statusCode).toBe(404);
    expect((await from('http://10.0.0.9:8080')).statusCode).toBe(404);
  });

  it('includes sign-in itself', async () => {
    const house = await withPerson();
    const response = await house.app.inject({
      ...{ method: 'POST', url: '/api/session', headers: { origin: 'https://evil.example' } },
      payload: { username: NAME, password: PASSWORD },
    });
    expect(response.statusCode).toBe(403);
  });

  it('with a bearer token need none of it', async () => {
    const house = await openHouse();
    expect((await house.call('office', 'POST', URL, {})).statusCode).toBe(404);
  });
});
