import { BEATING_PARTS } from '@lineside/paging/bystander';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Bystander, type Troubles } from '../src/bystander/bystander.ts';
import type { ServerReadings } from '../src/bystander/pipe-lines.ts';
import { LOOPBACK } from './counterparts/counterpart.ts';
import { type LoopbackHttp, loopbackHttp } from './counterparts/loopback-http.ts';
import { signatureOf, startWebhookReceiver } from './counterparts/webhook-receiver.ts';

const START_MS = Date.UTC(2026, 0, 10);
const SECOND_MS = 1000;
const MINUTE_MS = 60_000;
const SECRET = `whsec_${Buffer.alloc(24, 3).toString('base64')}`;

const READINGS: ServerReadings = {
  lastCommitAtMs: START_MS - 7_000,
  judgingPending: 12,
  pagesWaiting: 2,
  oldestWaitingAtMs: START_MS - 40_000,
};

interface Call {
  readonly id: string;
  readonly isSigned: boolean;
  readonly data: unknown;
}

/** A bystander in virtual time, its file in memory, and real sockets on loopback. */
class House {
  nowMs = START_MS;
  owner = 'us';
  saved: Troubles | null = null;
  readonly said: string[] = [];
  readonly pings: Call[] = [];
  readonly bystander: Bystander;
  outside: LoopbackHttp | null = null;

  constructor(before: Troubles | null = null) {
    this.bystander = new Bystander({
      kept: {
        claim: () => before,
        isTaken: () => this.owner !== 'us',
        save: (troubles) => {
          this.saved = troubles;
        },
      },
      clock: () => this.nowMs,
      random: () => 0,
      say: (_level, words) => this.said.push(words),
    });
  }

  async setUp(): Promise<void> {
    this.outside = await loopbackHttp(({ headers, body }) => {
      const [id, seconds] = [`${headers['webhook-id']}`, `${headers['webhook-timestamp']}`];
      const text = body.toString('utf8');
      const isSigned = headers['webhook-signature'] === signatureOf(SECRET, id, seconds, text);
      this.pings.push({ id, isSigned, data: JSON.parse(text).data });
      return 204;
    });
    this.bystander.hear({
      kind: 'settings',
      place: 'https://roofs.example',
      graceMs: MINUTE_MS,
      mail: null,
      vapid: null,
      allowedNetworks: [...LOOPBACK],
      ping: { url: `${this.outside.origin}/alive`, secret: SECRET, everyMs: 5 * MINUTE_MS },
    });
  }

  /** Beats every five seconds; what the bystander starts meanwhile comes to its end. */
  async beat(forMs: number, judgingAgeMs: (sinceMs: number) => number = () => 0): Promise<void> {
    for (let sinceMs = 0; sinceMs < forMs; sinceMs += 5 * SECOND_MS) {
      const ageOf = (part: string) => (part === 'judging' ? judgingAgeMs(sinceMs) : 0);
      const beats = BEATING_PARTS.map((part) => ({ part, ageMs: ageOf(part), waiting: 0 }));
      this.bystander.hear({ kind: 'beats', beats, readings: READINGS });
      await this.wait(5 * SECOND_MS);
    }
  }

  async wait(ms: number): Promise<void> {
    this.nowMs += ms;
    this.bystander.look();
    await new Promise((resolve) => setTimeout(resolve, 2));
  }
}

let house: House;

beforeEach(async () => {
  house = new House();
  await house.setUp();
});

afterEach(async () => {
  await house.bystander.close();
  await house.outside?.close();
});

const pinged = (count: number) => vi.waitFor(() => expect(house.pings).toHaveLength(count));

describe('the ping', () => {
  it('goes out every five minutes while all heartbeats are healthy, signed', async () => {
    await house.beat(16 * MINUTE_MS);
    await pinged(4);
    expect(house.pings.every(({ isSigned }) => isSigned)).toBe(true);
    expect(new Set(house.pings.map(({ id }) => id)).size).toBe(4);
    expect(house.pings[0]?.data).toEqual({
      lastCommit: '2026-01-09T23:59:53.000Z',
      judgingPending: 12,
      pagesWaiting: 2,
      oldestPageWaiting: '2026-01-09T23:59:20.000Z',
    });
  });

  it('stays out while one heartbeat has stopped, and comes again after it', async () => {
    await house.beat(MINUTE_MS);
    await pinged(1);
    await house.beat(30 * MINUTE_MS, (sinceMs) => sinceMs + 2 * MINUTE_MS);
    expect(house.pings).toHaveLength(1);
    await house.beat(2 * MINUTE_MS);
    await pinged(2);
  });

  it('stays out while the server is not heard, and before it has started', async () => {
    house.bystander.hear({ kind: 'beats', beats: [], readings: null });
    await house.wait(5 * SECOND_MS);
    expect(house.pings).toHaveLength(0);
    await house.beat(10 * SECOND_MS);
    await pinged(1);
    for (let seconds = 0; seconds < 900; seconds += 10) await house.wait(10 * SECOND_MS);
    expect(house.pings).toHaveLength(1);
  });

  it('is tried again soon when nobody answers', async () => {
    house.outside?.answer('is-broken');
    await house.beat(5 * SECOND_MS);
    await vi.waitFor(() => expect(house.said).toContain('the ping did not get through'));
    house.outside?.answer('accepts');
    await house.beat(5 * SECOND_MS);
    await pinged(1);
  });
});

describe('a trouble', () => {
  it('is told by a channel of its own, and again until it is through', async () => {
    const phone = await startWebhookReceiver(300, () => house.nowMs);
    const { address } = phone;
    house.bystander.hear({
      kind: 'contacts',
      contacts: [{ id: 'desk', channel: 'webhook', address }],
    });
    await house.beat(10 * SECOND_MS);
    phone.answer('is-broken');
    house.bystander.closed();
    for (let seconds = 0; seconds < 61; seconds += 1) await house.wait(SECOND_MS);
    await vi.waitFor(() => expect(house.said).toContain('a trouble could not be told'));
    phone.answer('accepts');
    await vi.waitFor(() => expect(phone.received).toHaveLength(1), { timeout: 10_000 });
    expect(phone.received[0]).toMatchObject({
      title: 'Lineside has stopped: nobody is alarmed',
      tryKey: `${phone.received[0]?.pageKey}.desk.1`,
    });
    await phone.close();
  });

  it('is kept for whoever comes next', async () => {
    await house.beat(10 * SECOND_MS);
    house.bystander.closed();
    for (let seconds = 0; seconds < 61; seconds += 1) await house.wait(SECOND_MS);
    expect(house.saved?.server).toMatchObject({ timesTold: 1 });
    const next = new House(house.saved);
    await next.setUp();
    await next.beat(2 * MINUTE_MS);
    expect(next.said).toContain('server: works-again');
    await next.bystander.close();
    await next.outside?.close();
  });
});

describe('the end of a bystander', () => {
  it('comes with a farewell, and leaves no trouble', async () => {
    await house.beat(10 * SECOND_MS);
    house.bystander.hear({ kind: 'farewell' });
    house.bystander.closed();
    expect(house.bystander.look()).toBe('farewell');
    await house.bystander.close();
    expect(house.saved?.server.brokenSinceMs).toBeNull();
  });

  it('comes when another has taken over, and keeps its hands off the file then', async () => {
    await house.beat(10 * SECOND_MS);
    house.owner = 'another';
    house.bystander.closed();
    expect(house.bystander.look()).toBe('taken-over');
    expect(house.saved).toBeNull();
  });

  it('comes twelve hours after a crash', async () => {
    await house.beat(10 * SECOND_MS);
    house.bystander.closed();
    const ends = Array.from({ length: 12 * 180 + 1 }, () => {
      const end = house.bystander.look();
      house.nowMs += 20 * SECOND_MS;
      return end;
    });
    expect(ends.indexOf('told-long-enough')).toBe(12 * 180);
    expect(house.saved?.server.timesTold).toBe(12);
  });

  it('comes at a start that failed, unless the server had crashed before', async () => {
    house.bystander.hear({ kind: 'did-not-start' });
    expect(house.bystander.look()).toBe('farewell');
    const first = new House();
    await first.setUp();
    await first.beat(10 * SECOND_MS);
    first.bystander.closed();
    const next = new House(first.saved);
    await next.setUp();
    next.bystander.hear({ kind: 'did-not-start' });
    next.bystander.closed();
    expect(next.bystander.look()).toBeNull();
    for (const one of [first, next]) {
      await one.bystander.close();
      await one.outside?.close();
    }
  });
});
