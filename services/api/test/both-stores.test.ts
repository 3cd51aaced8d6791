/** What the API needs of its stores, shown on the real ones and on those that other tests use. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { alarmJson } from '@lineside/alarms';
import { openRecordStore, openTelemetryStore, type TelemetryStore } from '@lineside/storage';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { SESSION_IDLE_MS } from '../src/auth/sessions.ts';
import { JournalFeed } from '../src/events/journal-feed.ts';
import { firstInvitation } from '../src/index.ts';
import { alarmOf, RAISED_MS, raiseOf } from './support/alarm.ts';
import { type House, openHouse, START_MS } from './support/house.ts';
import { type FilledRecords, MemoryRecords } from './support/memory-records.ts';

let folder: string;
let telemetry: TelemetryStore;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'stores-'));
  telemetry = await openTelemetryStore({ folder: join(folder, 'telemetry') });
}, 60_000);

afterAll(async () => {
  await telemetry.close();
  await rm(folder, { recursive: true });
});

interface Store {
  readonly records: FilledRecords;
  close(): Promise<void>;
}

const STORES: Record<string, () => Promise<Store>> = {
  'in memory': async () => ({ records: new MemoryRecords(), close: async () => undefined }),
  'in SQLite': async () => {
    const records = await openRecordStore({ file: join(folder, 'records.db') });
    return { records, close: () => records.close() };
  },
};

describe.each(Object.entries(STORES))('with records %s', (_name, open) => {
  let store: Store;
  let records: FilledRecords;
  const house = (): Promise<House> => openHouse({ records: () => records });

  beforeAll(async () => {
    store = await open();
    records = store.records;
  }, 60_000);

  afterAll(() => store.close());

  it('alarms that are withdrawn are listed when they are asked for', async () => {
    const { call } = await house();
    const over = { state: 'normal', standing: false, clearedAtMs: RAISED_MS + 1 } as const;
    const gone = alarmOf('gone', { unit: 'taken-back', ...over, withdrawn: true });
    const kept = alarmOf('kept', { unit: 'taken-back', raisedAtMs: RAISED_MS + 1 });
    await records.changeAlarms([gone, kept].map((alarm) => ({ entry: raiseOf(alarm) })));
    const idsOf = async (query: string): Promise<string[]> => {
      const list = await call('office', 'GET', `/api/alarms?unit=taken-back${query}`);
      return list.json().items.map(({ id }: { id: string }) => id);
    };
    expect(await idsOf('')).toEqual(['kept']);
    expect(await idsOf('&withdrawn=true')).toEqual(['kept', 'gone']);
    expect((await call('office', 'GET', '/api/alarms/gone')).json().withdrawn).toBe(true);
  });

  it('alarms are filtered and paged newest first, stable under inserts', async () => {
    const { call } = await house();
    const raise = (id: string, more: Parameters<typeof alarmOf>[1]) =>
      records.changeAlarms([{ entry: raiseOf(alarmOf(id, { unit: 'paged', ...more })) }]);
    // One unit and kind has one standing alarm only.
    const kinds = ['leakage', 'silent', 'unbalance', 'sensor', 'moisture'] as const;
    for (const [at, kind] of kinds.entries()) {
      await raise(`p${at}`, { kind, raisedAtMs: RAISED_MS + (at % 2) });
    }
    const seen: string[] = [];
    let cursor = '';
    do {
      const url = `/api/alarms?unit=paged&limit=2${cursor}`;
      const page = (await call('office', 'GET', url)).json();
      seen.push(...page.items.map((one: { id: string }) => one.id));
      cursor = page.next === null ? '' : `&cursor=${page.next}`;
      if (seen.length === 2) await raise('newest', { kind: 'phase-loss', raisedAtMs: START_MS });
    } while (cursor !== '');
    expect(seen.slice(0, 2).sort()).toEqual(['p1', 'p3']);
    expect(seen.slice(2).sort()).toEqual(['p0', 'p2', 'p4']);
    const count = async (query: string) =>
      (await call('office', 'GET', `/api/alarms?unit=paged&${query}`)).json().items.length;
    expect(await count('state=standing&kind=silent')).toBe(1);
    expect(await count('site=mill')).toBe(0);
    expect(await count('from=1960-01-01T00:00:00Z&to=1990-01-01T00:00:00Z')).toBe(0);
    expect(await count('from=2026-01-12T00:00:00Z')).toBe(6);
    expect((await call('viewer', 'GET', '/api/alarms?cursor=nonsense')).statusCode).toBe(400);
  });

  it('acknowledging is journalled once, and the journal feeds listeners', async () => {
    const { call } = await house();
    const feed = new JournalFeed(records, alarmJson);
    await feed.start();
    const from = feed.end;
    await records.changeAlarms([{ entry: raiseOf(alarmOf('ack', { unit: 'acked' })) }]);
    const answers = await Promise.all(
      [1, 2, 3].map(() => call('technician', 'POST', '/api/alarms/ack/acknowledge', {})),
    );
    expect(answers.map((answer) => answer.statusCode)).toEqual([200, 200, 200]);
    expect(await feed.readOn()).toBe(true);
    const states = (await feed.after(from, 10)).map((event) => JSON.parse(event.data).state);
    expect(states).toEqual(['unacknowledged', 'acknowledged']);
  });

  it('units carry presence and standing alarms', async () => {
    const { call } = await house();
    await records.setPresence({ site: 'harbour', unit: 'rtu-02', online: true, sinceMs: 1 });
    await records.changeAlarms([{ entry: raiseOf(alarmOf('st', { unit: 'rtu-02' })) }]);
    const { items } = (await call('viewer', 'GET', '/api/units')).json();
    expect(items).toMatchObject([
      { unit: 'rtu-01', presence: null, alarms: [] },
      { unit: 'rtu-02', presence: 'online', alarms: [{ id: 'st' }] },
    ]);
  });

  it('service records, episodes and quarantine come back as they went in', async () => {
    const { call } = await house();
    const unit = '/api/units/harbour/rtu-01';
    const body = { action: 'root-cause', time: '2026-01-14T00:00:00Z', found: { seal: 'torn' } };
    const posted = (await call('technician', 'POST', `${unit}/service`, body)).json();
    expect(posted).toMatchObject(body);
    const { items } = (await call('office', 'GET', `${unit}/service`)).json();
    expect(items).toEqual([posted]);
    const wetting = { startMs: RAISED_MS, peakMs: RAISED_MS, endMs: RAISED_MS + 1, wetHours: 2 };
    const episode = { ...wetting, source: 'humid-weather', evidence: {} } as const;
    const episodes = [{ site: 'harbour', unit: 'rtu-01', episode }];
    await records.commitJudgement({ checkpoints: [], alarms: [], episodes });
    expect((await call('office', 'GET', `${unit}/episodes`)).json().items).toMatchObject([
      { start: '2026-01-10T04:00:00Z', source: 'humid-weather', wetHours: 2 },
    ]);
    const span = 'from=1900-01-01T00:00:00Z&to=1980-01-01T00:00:00Z';
    expect((await call('office', 'GET', `${unit}/episodes?${span}`)).json().items).toEqual([]);
    const payload = new Uint8Array([0, 1, 254]);
    await records.quarantine([{ atMs: START_MS, topic: 't', code: 'C', reason: 'r', payload }]);
    expect((await call('office', 'GET', '/api/quarantine')).json().items).toMatchObject([
      { time: '2026-01-15T12:00:00Z', payload: 'AAH+' },
    ]);
  });

  it('holds are shown with their unit, and end; verdicts are counted', async () => {
    const { call } = await house();
    const unit = '/api/units/harbour/rtu-02';
    const until = new Date(START_MS + 3_600_000).toISOString();
    const body = { kind: 'out-of-service', owner: 'rosa', reason: 'fan is out', until };
    const hold = (await call('technician', 'POST', `${unit}/holds`, body)).json();
    expect((await call('viewer', 'GET', unit)).json().hold).toEqual(hold);
    const ended = await call('technician', 'POST', `/api/holds/${hold.id}/end`, {});
    expect(ended.statusCode).toBe(204);
    expect((await call('viewer', 'GET', unit)).json().hold).toBeNull();
    const [kept] = (await call('viewer', 'GET', `${unit}/holds`)).json().items;
    expect(kept).toEqual({ ...hold, ended: '2026-01-15T12:00:00Z', endedBy: kept.endedBy });

    await records.changeAlarms([{ entry: raiseOf(alarmOf('said', { unit: 'judged' })) }]);
    const said = { verdict: 'true', found: 'wet', cause: 'condensation' } as const;
    const given = (await call('technician', 'POST', '/api/alarms/said/verdict', said)).json();
    const list = (await call('viewer', 'GET', '/api/alarms/said/verdicts')).json();
    expect(list.items).toEqual([given]);
    const cases = (await call('office', 'GET', '/api/verdicts')).json();
    expect(cases.items).toMatchObject([{ alarm: 'said', unit: 'judged', ...said }]);
    const precision = (await call('viewer', 'GET', '/api/precision')).json();
    expect(precision.items[0]).toMatchObject({ name: null, true: 1, false: 0 });
    const csv = await call('viewer', 'GET', '/api/alarm-figures.csv');
    expect(csv.body).toMatch(/^scope,name,figure/);
    const [raise] = (await call('viewer', 'GET', '/api/alarms/said/journal')).json().items;
    expect(raise).toMatchObject({ event: 'raise', by: 'watch' });
  });

  it('bad cursors of every list are 400', async () => {
    const { call } = await house();
    const unit = 'units/harbour/rtu-01';
    const lists = ['alarms', 'quarantine', 'units', 'verdicts', `${unit}/service`, `${unit}/holds`];
    for (const list of lists) {
      const response = await call('office', 'GET', `/api/${list}?cursor=WyJ4Il0`);
      expect(response.statusCode, list).toBe(400);
    }
  });

  it('a person is invited, signs in, stays signed in, guesses and waits', async () => {
    const it = await house();
    const secret = (await firstInvitation(records, () => START_MS)) ?? '';
    const second = (await firstInvitation(records, () => START_MS)) ?? '';
    const person = { username: 'Morgan', displayName: 'M', password: 'four wet squirrels' };
    const accept = (of: string, username: string) =>
      it.call(null, 'POST', '/api/invitation', { secret: of, ...person, username });
    const accepted = await accept(secret, 'Morgan');
    expect(accepted.statusCode).toBe(201);
    expect((await accept(second, 'MORGAN')).statusCode).toBe(409);
    expect((await accept(secret, 'someone')).statusCode).toBe(404);
    const [cookie] = accepted.cookies;
    const headers = { cookie: `${cookie?.name}=${cookie?.value}` };
    for (let use = 0; use < 4; use += 1) {
      it.nowMs += SESSION_IDLE_MS - 1;
      const response = await it.app.inject({ url: '/api/session', headers });
      expect(response.statusCode).toBe(200);
    }
    it.nowMs += SESSION_IDLE_MS;
    expect((await it.app.inject({ url: '/api/session', headers })).statusCode).toBe(401);
    const signIn = (password: string) =>
      it.call(null, 'POST', '/api/session', { username: 'morgan', password });
    for (let at = 0; at < 5; at += 1) expect((await signIn('wrong')).statusCode).toBe(401);
    expect((await signIn(person.password)).statusCode).toBe(429);
    it.nowMs += 2000;
    expect((await signIn(person.password)).statusCode).toBe(200);
  });
});

describe('with telemetry in SQLite', () => {
  it('a chart is what was stored, in the units of the channel table', async () => {
    const ref = { site: 'harbour', unit: 'rtu-01' };
    const readings = Array.from({ length: 600 }, (_, minute) => ({
      ...ref,
      atMs: START_MS - (600 - minute) * 60_000,
      channels: { rh: 50 + (minute % 10), leak: 0.0019, door: 0 },
    }));
    await telemetry.append(readings);
    const { call } = await openHouse({ telemetry });
    const url = '/api/units/harbour/rtu-01/telemetry';
    const raw = (await call('viewer', 'GET', `${url}?channels=leak,door`)).json().channels;
    expect(Object.keys(raw).sort()).toEqual(['door', 'leak']);
    expect(raw.leak.unit).toBe('A');
    expect(raw.leak.points).toHaveLength(600);
    expect(raw.leak.points[0]).toEqual([START_MS - 600 * 60_000, 0.0019, 0.0019, 0.0019]);
    const coarse = (await call('viewer', 'GET', `${url}?channels=rh&points=50`)).json().channels;
    expect(coarse.rh.points.length).toBeLessThanOrEqual(50);
    expect(coarse.rh.points[1].slice(1)).toEqual([50, expect.any(Number), 59]);
    const none = await call(
      'viewer',
      'GET',
      `${url}?from=0001-01-01T00:00:00Z&to=1960-01-01T00:00:00Z`,
    );
    expect(none.json()).toEqual({ channels: {} });
  });
});
