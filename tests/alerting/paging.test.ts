/** From the alarm journal to messages in the outbox, over a record store, on virtual time. */
import { readPageLink } from '@lineside/alerting';
import { type OutboxMessage, type PageLink, StoreError } from '@lineside/storage';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { NOON_MS, PagingWorld, PUBLIC_URL } from './paging-world.ts';

const MINUTE_MS = 60_000;

let world: PagingWorld;

beforeEach(() => {
  world = new PagingWorld();
});

afterEach(() => {
  world.time.dropIntervals();
  world.time.end();
});

interface Words {
  readonly title: string;
  readonly body: string;
  readonly url: string;
}

function wordsOf(message: OutboxMessage | undefined): Words {
  if (message === undefined) throw new Error('expected a message, found none');
  return message.words as Words;
}

async function linkOf(url: string): Promise<PageLink | null> {
  const secret = await world.records.secretOr('page-links', 'unused');
  const id = readPageLink(secret, url.slice(`${PUBLIC_URL}/p/`.length));
  return id === null ? null : world.records.pageLink(id);
}

describe('an alarm in the journal', () => {
  it('becomes one message for each contact point of whoever is asked', async () => {
    await world.prepare();
    await world.start();
    await world.happen({});
    await world.time.pass(2_000);
    const messages = await world.outbox();
    expect(messages.map(({ contact }) => contact).sort()).toEqual(['ana-mail', 'ana-phone']);
    expect(messages.map(({ id, contact, pageKey }) => id === `${pageKey}.${contact}`)).toEqual([
      true,
      true,
    ]);
    const words = wordsOf(messages[0]);
    expect(words.title).toBe('Urgent leakage: p-02, Pier Nine');
    expect(words.body).toBe('Since 12:00 UTC. Probably insulation of the load (70 %).');
    expect(world.told).toBe(1);
  });

  it('carries a link of ours that names its alarms, and a changed one is nobody’s', async () => {
    await world.prepare();
    await world.start();
    await world.happen({});
    await world.time.pass(2_000);
    const { url } = wordsOf((await world.outbox())[0]);
    expect(await linkOf(url)).toMatchObject({ alarmIds: ['a1'], person: 'ana', deviceHash: null });
    expect(await linkOf(`${url.slice(0, -1)}${url.endsWith('A') ? 'B' : 'A'}`)).toBeNull();
  });

  it('says when the roof is dangerous, by weather of the last two hours alone', async () => {
    await world.prepare();
    const at = (atMs: number) => ({
      site: 'pier-nine',
      unit: 'weather',
      atMs,
      channels: { wind: 19 },
    });
    world.weather = at(NOON_MS - 3 * 60 * MINUTE_MS);
    await world.start();
    await world.happen({ unit: 'p-0' });
    await world.time.pass(2_000);
    world.weather = at(NOON_MS);
    await world.happen({ unit: 'p-02', what: 'rise' });
    await world.time.pass(2_000);
    const bodies = (await world.outbox()).map((one) => wordsOf(one).body);
    expect(bodies.filter((body) => body.includes('High wind: stay off the roof')).length).toBe(2);
    expect(bodies.length).toBe(4);
  });

  it('goes on to the next in line when nobody answers, and stops when somebody does', async () => {
    await world.prepare();
    await world.start();
    await world.happen({});
    await world.time.pass(16 * MINUTE_MS);
    const people = async () => (await world.outbox()).map(({ person }) => person);
    expect(await people()).toEqual(['ben', 'ana', 'ana']);
    await world.happen({ what: 'acknowledge' });
    await world.time.pass(120 * MINUTE_MS);
    expect(await people()).toEqual(['ben', 'ana', 'ana']);
    const state = await world.records.alertingState();
    expect(state?.asks).toEqual([]);
  });

  it('passes over whoever is reached only by a channel that is not set up', async () => {
    world.hasMail = false;
    await world.prepare();
    await world.start();
    await world.happen({});
    await world.time.pass(2_000);
    expect((await world.outbox()).map(({ contact }) => contact)).toEqual(['ben-phone']);
  });

  it('asks the office while there is no rota', async () => {
    await world.prepare({ rota: false });
    await world.start();
    await world.happen({});
    await world.time.pass(2_000);
    expect((await world.outbox()).map(({ contact }) => contact)).toEqual(['office-desk']);
  });
});

describe('an alarm from a backlog', () => {
  it('asks within seconds after its unit has caught up, and is asked once', async () => {
    await world.prepare();
    world.judgedThroughMs = NOON_MS - 60 * MINUTE_MS;
    await world.start();
    await world.time.pass(2_000);
    await world.happen({ lateMs: 120 * MINUTE_MS });
    await world.time.pass(4 * MINUTE_MS);
    expect(await world.outbox()).toEqual([]);
    world.judgedThroughMs = world.time.nowMs;
    await world.time.pass(2_000);
    expect((await world.outbox()).map(({ person }) => person)).toEqual(['ana', 'ana']);
    await world.time.pass(10 * MINUTE_MS);
    expect((await world.outbox()).length).toBe(2);
  });

  it('is paged to nobody when what ends it was judged by the time that its unit caught up', async () => {
    await world.prepare();
    await world.start();
    await world.time.pass(2_000);
    await world.happen({ lateMs: 120 * MINUTE_MS });
    await world.time.pass(4 * MINUTE_MS);
    world.judgedThroughMs = world.time.nowMs;
    await world.happen({ what: 'clear', lateMs: 60 * MINUTE_MS });
    await world.time.pass(30 * MINUTE_MS);
    expect(await world.outbox()).toEqual([]);
  });
});

describe('a message that still waits', () => {
  it('is given up when its alarm is answered, and one handed over stays so', async () => {
    await world.prepare();
    await world.start();
    await world.happen({});
    await world.time.pass(2_000);
    const [gone, waits] = await world.outbox();
    if (gone === undefined || waits === undefined) throw new Error('two messages were written');
    const { id, revision, dueAtMs } = gone;
    const handedOver = { handedOverAtMs: world.time.nowMs, state: 'handed-over' } as const;
    const outcome = { id, revision, dueAtMs, attempts: 1, failure: null, ...handedOver };
    await world.records.settleMessages([outcome]);
    await world.happen({ what: 'acknowledge' });
    await world.time.pass(2_000);
    const after = new Map((await world.outbox()).map((one) => [one.id, one]));
    expect(after.get(gone.id)).toMatchObject({ state: 'handed-over', failure: null });
    const failure = 'answered before it could be handed over';
    expect(after.get(waits.id)).toMatchObject({ state: 'given-up', failure });
    expect(await world.records.nextMessageDueMs()).toBeNull();
  });
});

describe('the first start over an old journal', () => {
  it('asks once for what stands unanswered', async () => {
    await world.prepare();
    await world.happen({ unit: 'p-0' }, { unit: 'p-3' }, { unit: 'p-3', what: 'acknowledge' });
    await world.time.pass(60 * MINUTE_MS);
    await world.start();
    await world.time.pass(2_000);
    const messages = await world.outbox();
    expect(messages.map(({ contact }) => contact).sort()).toEqual(['ana-mail', 'ana-phone']);
    const { url } = wordsOf(messages[0]);
    expect((await linkOf(url))?.alarmIds).toEqual(['a1']);
  });
});

describe('a unit under maintenance', () => {
  it('pages nobody until somebody ends the hold', async () => {
    await world.prepare();
    await world.start();
    const hold = { id: 'h1', site: 'pier-nine', unit: 'p-02', kind: 'maintenance' } as const;
    const times = { fromMs: NOON_MS, untilMs: NOON_MS + 60 * MINUTE_MS, endedAtMs: null };
    await world.records.addUnitHold({
      ...hold,
      ...times,
      owner: 'ana',
      reason: 'visit',
      endedBy: null,
    });
    await world.happen({});
    await world.time.pass(10 * MINUTE_MS);
    expect(await world.outbox()).toEqual([]);
    await world.records.endUnitHold('h1', world.time.nowMs, 'ana');
    await world.time.pass(2_000);
    expect((await world.outbox()).length).toBe(2);
  });
});

describe('trouble', () => {
  it('of the store only delays: what could not be kept is decided anew', async () => {
    await world.prepare();
    let isOut = false;
    const failure = new StoreError('STORE_UNAVAILABLE', 'the disk is away');
    await world.start((operation) =>
      isOut && operation !== 'loadRota'
        ? { beforeMs: 0, afterMs: 0, failure, isDone: false, whenDone: null }
        : null,
    );
    await world.time.pass(2_000);
    isOut = true;
    await world.happen({});
    await world.time.pass(30_000);
    expect(await world.outbox()).toEqual([]);
    isOut = false;
    await world.time.pass(3_000);
    expect((await world.outbox()).length).toBe(2);
  });

  it('of a commit whose answer is lost repeats nothing', async () => {
    await world.prepare();
    let lost = 0;
    const failure = new StoreError('STORE_UNAVAILABLE', 'the answer was lost');
    await world.start((operation) => {
      if (operation !== 'commitAlerting' || lost >= 6) return null;
      lost += 1;
      return { beforeMs: 0, afterMs: 0, failure, isDone: true, whenDone: null };
    });
    await world.happen({}, { unit: 'p-0' });
    await world.time.pass(20 * MINUTE_MS);
    const messages = await world.outbox();
    const names = messages.map(({ id, revision }) => `${id} ${revision}`);
    expect(new Set(names).size).toBe(names.length);
    expect(new Set(messages.map(({ pageKey, person }) => `${person} ${pageKey}`)).size).toBe(2);
  });

  it('of two processes over one store is no trouble: one of them takes each step', async () => {
    await world.prepare();
    await world.start();
    await world.start();
    await world.happen({}, { unit: 'p-0' });
    await world.time.pass(5_000);
    const messages = await world.outbox();
    expect(messages.map(({ contact }) => contact).sort()).toEqual(['ana-mail', 'ana-phone']);
  });
});
