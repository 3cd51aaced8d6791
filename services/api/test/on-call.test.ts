import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openRecordStore } from '@lineside/storage';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { ApiRecords } from '../src/dependencies.ts';
import type { ShiftJson } from '../src/schemas/on-call.ts';
import { type House, openHouse, START_MS } from './support/house.ts';
import { MemoryRecords } from './support/memory-records.ts';
import { ROTA } from './support/rota.ts';
import { type AsPerson, signedIn } from './support/signed-in.ts';

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'on-call-'));
});
afterAll(() => rm(folder, { recursive: true }));

interface Store {
  readonly records: ApiRecords;
  close(): Promise<void>;
}

let files = 0;
const STORES: Record<string, () => Promise<Store>> = {
  'in memory': async () => ({ records: new MemoryRecords(), close: async () => undefined }),
  'in SQLite': async () => {
    files += 1;
    const records = await openRecordStore({ file: join(folder, `${files}.db`) });
    return { records, close: () => records.close() };
  },
};

const CHANGES = '/api/on-call/teams/north/changes';
/** Ben has the first call in the week from 12 January. */
const COVER = {
  ...{ kind: 'cover', for: 'ben', by: 'cyd' },
  ...{ from: '2026-01-17T18:00', to: '2026-01-18T06:00' },
};

describe.each(Object.entries(STORES))('on call with records %s', (_name, open) => {
  let store: Store;
  let house: House;
  let office: AsPerson;
  beforeEach(async () => {
    store = await open();
    house = await openHouse({ records: () => store.records });
    await store.records.saveRota(ROTA, 0);
    office = await signedIn(house, store.records, 'olive', 'office');
    return () => store.close();
  });

  const shifts = async (query: string): Promise<ShiftJson[]> =>
    (await office('GET', `/api/on-call/shifts?${query}`)).json().items;

  it('says who is on call now and next, by team, and until when', async () => {
    const { at, teams, office: desk } = (await office('GET', '/api/on-call')).json();
    expect(at).toBe('2026-01-15T12:00:00Z');
    expect(desk).toBe('Front desk');
    const [north, mill] = teams;
    expect(north).toMatchObject({ id: 'north', zone: 'America/Halifax' });
    expect(north.first.now).toMatchObject({
      ...{ person: { id: 'ben', name: 'Ben Okafor' }, gap: null },
      // Monday 08:00 in Halifax, four hours behind UTC in winter.
      ...{ from: '2026-01-12T12:00:00Z', to: '2026-01-19T12:00:00Z' },
    });
    expect(north.first.next.person.id).toBe('cyd');
    expect(north.second.now.person.id).toBe('cyd');
    expect(mill.second).toBeNull();
  });

  it('says who was or will be on call at another instant', async () => {
    const { at, teams } = (await office('GET', '/api/on-call?at=2026-01-19T12:00:00Z')).json();
    expect(at).toBe('2026-01-19T12:00:00Z');
    expect(teams[0].first.now.person.id).toBe('cyd');
    expect((await office('GET', '/api/on-call?at=monday')).statusCode).toBe(400);
  });

  it('says in words why nobody is on call', async () => {
    house.nowMs = Date.UTC(2026, 1, 10);
    const [, mill] = (await house.call('office', 'GET', '/api/on-call')).json().teams;
    expect(mill.first.now.person).toBeNull();
    expect(mill.first.now.gap).toMatch(/nobody/);
    const { notices } = (await house.call('office', 'GET', '/api/on-call/rota')).json();
    const words = notices.map((notice: { words: string }) => notice.words).join('\n');
    expect(words).toMatch(/nobody has the first call/);
    expect(words).toMatch(/the fleet has no site old-barn/);
  });

  it('lists shifts of six weeks, or of the span and team that is asked for', async () => {
    const usual = await shifts('');
    expect(Date.parse(usual[0]!.from)).toBeLessThanOrEqual(START_MS);
    const north = await shifts('team=north&from=2026-01-12T12:00:00Z&to=2026-01-26T12:00:00Z');
    expect(north.map(({ call, person }) => `${call} ${person?.id}`)).toEqual([
      ...['first ben', 'first cyd', 'second cyd', 'second ana'],
    ]);
    expect((await office('GET', '/api/on-call/shifts?team=west')).statusCode).toBe(404);
    const long = '/api/on-call/shifts?from=2026-01-01T00:00:00Z&to=2028-01-01T00:00:00Z';
    expect((await office('GET', long)).statusCode).toBe(400);
  });

  it('shows a viewer the teams of its sites, and no rota', async () => {
    const token = await house.token('viewer');
    const headers = { authorization: `Bearer ${token}` };
    const asViewer = async (url: string) => house.app.inject({ url, headers });
    const { teams } = (await asViewer('/api/on-call')).json();
    expect(teams.map(({ id }: { id: string }) => id)).toEqual(['north']);
    expect(teams[0].sites).toEqual(['harbour']);
    expect((await asViewer('/api/on-call/shifts?team=mill-crew')).statusCode).toBe(404);
    expect((await asViewer('/api/on-call/rota')).statusCode).toBe(403);
  });

  it('tries a cover without keeping it, then keeps it', async () => {
    const tried = await office('POST', CHANGES, { change: COVER, tryOnly: true });
    expect(tried.statusCode).toBe(200);
    expect(tried.json()).toMatchObject({ kept: false, generation: 1 });
    const expected = {
      ...{ call: 'first', person: { id: 'cyd' }, planned: { id: 'ben' } },
      ...{ from: '2026-01-17T22:00:00Z', to: '2026-01-18T10:00:00Z' },
    };
    expect(tried.json().shifts).toMatchObject([expected]);
    expect(tried.json().notices[0].words).toMatch(/cyd has both calls/);
    expect((await office('GET', '/api/on-call/rota')).json().generation).toBe(1);

    const kept = await office('POST', CHANGES, { change: COVER, generation: 1 });
    expect(kept.statusCode).toBe(201);
    expect(kept.json()).toMatchObject({ kept: true, generation: 2, shifts: [expected] });
    house.nowMs = Date.UTC(2026, 0, 18);
    expect((await office('GET', '/api/on-call')).json().teams[0].first.now.person.id).toBe('cyd');
    const { teams } = (await office('GET', '/api/on-call/rota')).json();
    expect(teams[0].changes).toMatchObject([
      { id: kept.json().id, words: expect.stringMatching(/^Cyd Larsen covers Ben Okafor from/) },
    ]);
  });

  it('swaps two shifts, and calls it off again', async () => {
    const change = {
      ...{ kind: 'swap', call: 'first' },
      one: { person: 'cyd', shift: '2026-01-19' },
      other: { person: 'ana', shift: '2026-01-26' },
    };
    const made = await office('POST', CHANGES, { change });
    expect(made.statusCode).toBe(201);
    const span = 'team=north&from=2026-01-19T12:00:00Z&to=2026-02-02T12:00:00Z';
    const first = async () =>
      (await shifts(span)).filter(({ call }) => call === 'first').map(({ person }) => person?.id);
    expect(await first()).toEqual(['ana', 'cyd']);
    const off = `${CHANGES}/${made.json().id}/call-off`;
    expect((await office('POST', off)).json()).toMatchObject({ kept: true, generation: 3 });
    expect(await first()).toEqual(['cyd', 'ana']);
    expect((await office('POST', off)).statusCode).toBe(409);
    expect((await office('POST', `${CHANGES}/c-none/call-off`)).statusCode).toBe(404);
  });

  it('answers 409 when the caller looked at another rota', async () => {
    const change = { change: COVER, generation: 1 };
    expect((await office('POST', CHANGES, change)).statusCode).toBe(201);
    expect((await office('POST', CHANGES, change)).statusCode).toBe(409);
  });

  it.each([
    ['a stranger', { ...COVER, by: 'zoe' }, 'change.by'],
    ['the same person', { ...COVER, by: 'ben' }, 'change.by'],
    ['an end before its beginning', { ...COVER, to: '2026-01-17T06:00' }, 'change.to'],
    ['a day that there is none of', { ...COVER, from: '2026-02-30T06:00' }, 'change.from'],
    ['somebody who has no call then', { ...COVER, for: 'ana' }, 'change'],
    [
      'a time that is over',
      { ...COVER, from: '2026-01-13T00:00', to: '2026-01-14T00:00' },
      'change',
    ],
    ['no kind', { for: 'ben', by: 'cyd' }, 'change.kind'],
  ])('refuses a cover with %s and names where', async (_what, change, path) => {
    const refused = await office('POST', CHANGES, { change });
    expect(refused.statusCode, refused.body).toBe(400);
    expect(refused.json().errors[0].path).toBe(path);
    expect((await office('GET', '/api/on-call/rota')).json().generation).toBe(1);
  });

  it('lets technicians give away shifts of their own alone', async () => {
    const ben = await signedIn(house, store.records, 'Ben', 'technician');
    const ana = await signedIn(house, store.records, 'ana', 'technician');
    expect((await ana('POST', CHANGES, { change: COVER })).statusCode).toBe(403);
    const made = await ben('POST', CHANGES, { change: COVER });
    expect(made.statusCode).toBe(201);
    const off = `${CHANGES}/${made.json().id}/call-off`;
    expect((await ana('POST', off)).statusCode).toBe(403);
    expect((await ben('POST', off)).statusCode).toBe(200);
    // A program's token is nobody of the rota.
    const token = await house.call('technician', 'POST', CHANGES, { change: COVER });
    expect(token.statusCode).toBe(403);
    expect((await house.call('office', 'POST', CHANGES, { change: COVER })).statusCode).toBe(201);
  });

  it('will not call off what is over', async () => {
    const made = await office('POST', CHANGES, { change: COVER });
    house.nowMs = Date.UTC(2026, 0, 20);
    const off = await office('POST', `${CHANGES}/${made.json().id}/call-off`);
    expect(off.statusCode).toBe(409);
    expect(off.json().detail).toMatch(/over/);
  });
});

describe('on call before the first rota', () => {
  it('says that there is none', async () => {
    const house = await openHouse();
    expect((await house.call('viewer', 'GET', '/api/on-call')).json()).toMatchObject({
      ...{ teams: [], office: null },
    });
    expect((await house.call('office', 'GET', '/api/on-call/shifts')).json()).toEqual({
      items: [],
    });
    expect((await house.call('office', 'GET', '/api/on-call/rota')).json()).toMatchObject({
      ...{ generation: 0, document: null },
    });
    const made = await house.call('office', 'POST', CHANGES, { change: COVER });
    expect(made.statusCode).toBe(404);
  });
});
