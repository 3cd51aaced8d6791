import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { LOOKS_APART_MS } from '../src/outbox/limits.ts';
import {
  BUSY,
  closeHouse,
  contactPoint,
  type DelivererHouse,
  HOUR_MS,
  held,
  houseWithContacts,
  later,
  newMessage,
  OK,
  wordsOf,
} from './deliverer-house.ts';

const MINUTE_MS = 60_000;

let house: DelivererHouse;

beforeEach(() => {
  vi.useFakeTimers({ now: Date.UTC(2031, 4, 3, 2) });
  house = houseWithContacts();
});

afterEach(() => closeHouse(house));

const state = (id: string) => house.outbox.kept.get(id)?.state;

describe('handing over', () => {
  it('takes what waits at start, and what a poke tells of', async () => {
    house.outbox.put(newMessage('m1', 'a'));
    house.deliverer.start();
    await later(0);
    expect(house.outbox.kept.get('m1')).toMatchObject({
      state: 'handed-over',
      attempts: 1,
      handedOverAtMs: Date.now(),
      failure: null,
    });
    house.outbox.put(newMessage('m2', 'a'));
    house.deliverer.poke();
    await later(LOOKS_APART_MS);
    expect(state('m2')).toBe('handed-over');
  });

  it('finds a message that nobody poked for, and one when it is due', async () => {
    house.deliverer.start();
    await later(1000);
    house.outbox.put(newMessage('m1', 'a'));
    await later(30_000);
    expect(state('m1')).toBe('handed-over');
    house.outbox.put(newMessage('m2', 'a', { dueAtMs: Date.now() + 5000 }));
    house.deliverer.poke();
    await later(4999);
    expect(state('m2')).toBe('waiting');
    await later(30);
    expect(state('m2')).toBe('handed-over');
  });

  it('tries again after growing pauses until it goes', async () => {
    house.webhook.answer = () => (house.webhook.tries.length < 4 ? BUSY : OK);
    house.outbox.put(newMessage('m1', 'a'));
    house.deliverer.start();
    await later(10);
    expect(house.outbox.kept.get('m1')).toMatchObject({ attempts: 1, failure: 'answered 503' });
    await later(MINUTE_MS);
    const at = house.webhook.tries.map(({ atMs }) => atMs);
    const pauses = at.slice(1).map((atMs, index) => atMs - (at[index] ?? 0));
    expect(pauses).toEqual([1500, 2500, 4500]);
    expect(house.outbox.kept.get('m1')).toMatchObject({ state: 'handed-over', attempts: 4 });
  });

  it('waits as long as the other side asks', async () => {
    house.webhook.answer = () =>
      house.webhook.tries.length < 2 ? { ...BUSY, retryAfterMs: 40_000 } : OK;
    house.outbox.put(newMessage('m1', 'a'));
    house.deliverer.start();
    await later(39_900);
    expect(house.webhook.tries).toHaveLength(1);
    await later(200);
    expect(state('m1')).toBe('handed-over');
  });

  it('gives up what is refused, says why, and does not try it again', async () => {
    house.webhook.answer = () => ({ outcome: 'refused', reason: 'answered 400' });
    house.outbox.put(newMessage('m1', 'a'));
    house.deliverer.start();
    await later(HOUR_MS);
    expect(house.webhook.tries).toHaveLength(1);
    expect(house.outbox.kept.get('m1')).toMatchObject({
      state: 'given-up',
      failure: 'answered 400',
    });
    expect(house.logged.join()).toContain('answered 400');
  });

  it('warns of each try that failed, since somebody waits for the page', async () => {
    house.webhook.answer = () => BUSY;
    house.outbox.put(newMessage('m1', 'a'));
    house.deliverer.start();
    await later(0);
    const warnings = house.logged.filter((line) => JSON.parse(line).level === 40);
    expect(warnings.join()).toContain('message not handed over, trying again');
  });

  it('gives up before a message expires, and one that has expired untried', async () => {
    house.webhook.answer = () => BUSY;
    house.outbox.put(newMessage('m1', 'a'));
    house.outbox.put(newMessage('m2', 'b', { expiresAtMs: Date.now() }));
    house.deliverer.start();
    await later(HOUR_MS);
    expect(state('m1')).toBe('given-up');
    expect(house.webhook.tries.at(-1)?.atMs).toBeLessThan(Date.now());
    expect(state('m2')).toBe('given-up');
    expect(house.webhook.tries.some(({ id }) => id === 'm2')).toBe(false);
  });

  it('hands over the most urgent first when many wait', async () => {
    const priorities = ['routine', 'urgent', 'emergency'] as const;
    house.outbox.put(
      ...priorities.map((priority, index) =>
        newMessage(priority, ['a', 'b', 'c'][index]!, { words: wordsOf(priority) }),
      ),
    );
    house.deliverer.start();
    await later(0);
    expect(house.webhook.tries.map(({ id }) => id)).toEqual(['emergency', 'urgent', 'routine']);
  });
});

it('does not hand over twice what got through while a slow store was asked', async () => {
  const first = held();
  house.webhook.answer = () => first.answer();
  house.outbox.put(newMessage('m1', 'a'));
  house.deliverer.start();
  await later(0);
  house.outbox.answersAfterMs = 200;
  house.deliverer.poke();
  await later(100);
  first.release(OK);
  await later(1000);
  expect(state('m1')).toBe('handed-over');
  expect(house.webhook.tries).toHaveLength(1);
});

describe('newer words', () => {
  it('keep waiting when an older revision settles, and go after it', async () => {
    const first = held();
    house.webhook.answer = ({ revision }) => (revision === 1 ? first.answer() : OK);
    house.outbox.put(newMessage('m1', 'a'));
    house.deliverer.start();
    await later(0);
    house.outbox.put(newMessage('m1', 'a', { revision: 2 }));
    house.deliverer.poke();
    await later(2000);
    expect(house.webhook.tries.map(({ revision }) => revision)).toEqual([1]);
    first.release(OK);
    await later(0);
    expect(house.webhook.tries.map(({ revision }) => revision)).toEqual([1, 2]);
    expect(house.outbox.kept.get('m1')).toMatchObject({ state: 'handed-over', revision: 2 });
    expect(house.webhook.twiceAtOnce).toEqual([]);
  });
});

describe('contact points', () => {
  it('are removed when they are gone, and their messages are given up', async () => {
    house.webhook.answer = () => ({ outcome: 'gone', reason: 'answered 410' });
    house.outbox.put(newMessage('m1', 'a'), newMessage('m2', 'a', { dueAtMs: Date.now() + 500 }));
    house.deliverer.start();
    await later(1000);
    expect(house.outbox.contacts.has('a')).toBe(false);
    expect([state('m1'), state('m2')]).toEqual(['given-up', 'given-up']);
    expect(house.webhook.tries).toHaveLength(1);
    expect(house.outbox.kept.get('m2')?.failure).toContain('no contact point a');
  });

  it('are kept when they were registered anew meanwhile', async () => {
    const first = held();
    house.webhook.answer = () => first.answer();
    house.outbox.put(newMessage('m1', 'a'));
    house.deliverer.start();
    await later(0);
    house.outbox.contacts.set('a', contactPoint('a', { address: { gate: 'new' } }));
    first.release({ outcome: 'gone', reason: 'answered 410' });
    await later(10);
    expect(house.outbox.contacts.has('a')).toBe(true);
  });

  it.each([
    ['of a contact point that is unknown', { contact: 'nobody' }, 'no contact point nobody'],
    ['of a channel that is not set up', { channel: 'web-push', contact: 'p' }, 'not set up'],
    ['of words that nobody can read', { words: { title: 7 } }, 'cannot be read'],
  ] as const)('let a message go %s', async (_what, changes, words) => {
    house.outbox.contacts.set('p', contactPoint('p', { channel: 'web-push' }));
    house.outbox.put(newMessage('m1', 'a', changes));
    house.deliverer.start();
    await later(10);
    expect(house.outbox.kept.get('m1')).toMatchObject({ state: 'given-up', attempts: 0 });
    expect(house.outbox.kept.get('m1')?.failure).toContain(words);
  });
});

describe('a store that is out', () => {
  it('loses nothing, and what was handed over is not handed over again', async () => {
    house.outbox.put(newMessage('m1', 'a'), newMessage('m2', 'b'));
    let failures = 0;
    house.outbox.failsWrite = () => {
      failures += 1;
      return failures <= 6;
    };
    house.deliverer.start();
    await later(100);
    expect(house.deliverer.health().storeFailure).toBe('disk full');
    await later(2 * MINUTE_MS);
    expect([state('m1'), state('m2')]).toEqual(['handed-over', 'handed-over']);
    expect(house.webhook.tries).toHaveLength(2);
    expect(house.deliverer.health()).toMatchObject({ storeFailure: null, inFlight: 0 });
  });

  it('is asked again after a pause', async () => {
    house.outbox.isOut = true;
    house.outbox.put(newMessage('m1', 'a'));
    house.deliverer.start();
    await later(5000);
    expect(house.deliverer.health()).toMatchObject({
      lastLookAtMs: null,
      storeFailure: 'the store is out',
    });
    house.outbox.isOut = false;
    await later(30_000);
    expect(state('m1')).toBe('handed-over');
    expect(house.deliverer.health().storeFailure).toBeNull();
  });
});

describe('stopping', () => {
  it('takes nothing new and waits for what is in flight', async () => {
    const slow = held();
    house.webhook.answer = () => slow.answer();
    house.outbox.put(newMessage('m1', 'a'));
    house.deliverer.start();
    await later(0);
    let isStopped = false;
    const stopped = house.deliverer.stop().then(() => {
      isStopped = true;
    });
    house.outbox.put(newMessage('m2', 'b'));
    house.deliverer.poke();
    await later(3000);
    expect(isStopped).toBe(false);
    slow.release(OK);
    await later(0);
    await stopped;
    expect([state('m1'), state('m2')]).toEqual(['handed-over', 'waiting']);
  });

  it('waits no longer than five seconds, and leaves the message waiting', async () => {
    house.webhook.answer = () => new Promise(() => {});
    house.outbox.put(newMessage('m1', 'a'));
    house.deliverer.start();
    await later(0);
    const stopped = house.deliverer.stop();
    await later(5000);
    await stopped;
    expect(house.outbox.kept.get('m1')).toMatchObject({ state: 'waiting', attempts: 0 });
    house = houseWithContacts();
  });
});

describe('metrics', () => {
  it('count what came of each try, and what waits', async () => {
    house.webhook.answer = ({ id }) => (id === 'm1' ? OK : BUSY);
    house.outbox.put(newMessage('m1', 'a'), newMessage('m2', 'b'), newMessage('m3', 'nobody'));
    house.deliverer.start();
    await later(10);
    const text = await house.registry.metrics();
    expect(text).toContain('lineside_messages_total{channel="webhook",outcome="handed-over"} 1');
    expect(text).toContain('lineside_messages_total{channel="webhook",outcome="failed"} 1');
    expect(text).toContain('lineside_messages_total{channel="webhook",outcome="no-contact"} 1');
    expect(text).toContain('lineside_outbox_waiting 1');
  });

  it('are still readable while the store is out', async () => {
    house.outbox.isOut = true;
    expect(await house.registry.metrics()).toContain('lineside_outbox_waiting Nan');
  });
});

it('keeps addresses out of the log', async () => {
  house.outbox.contacts.set('s', contactPoint('s', { address: { secret: 'whsec_hidden' } }));
  house.webhook.answer = () => BUSY;
  house.outbox.put(newMessage('m1', 's'));
  house.deliverer.start();
  await later(HOUR_MS);
  expect(house.logged.length).toBeGreaterThan(2);
  expect(house.logged.join()).not.toContain('whsec_hidden');
});
