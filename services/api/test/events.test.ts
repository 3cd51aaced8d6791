import { get, type IncomingMessage } from 'node:http';
import { describe, expect, it, onTestFinished } from 'vitest';
import { alarmOf, raiseOf } from './support/alarm.ts';
import { type House, openHouse, START_MS } from './support/house.ts';
import { conditionAt } from './support/live.ts';

interface Event {
  readonly id: string;
  readonly event: string;
  readonly data: Record<string, unknown>;
}

/** A listener on a real socket. */
class Listener {
  readonly response: IncomingMessage;
  readonly events: Event[] = [];
  isOver = false;
  #text = '';
  #wake: () => void = () => undefined;

  constructor(response: IncomingMessage) {
    this.response = response;
    response.on('data', (chunk) => this.#take(String(chunk)));
    response.on('close', () => {
      this.isOver = true;
      this.#wake();
    });
  }

  /** Resolves when there are so many events, or the stream is over. */
  async until(count: number): Promise<Event[]> {
    while (this.events.length < count && !this.isOver) await this.#news();
    return this.events;
  }

  async untilOver(): Promise<void> {
    while (!this.isOver) await this.#news();
  }

  #news(): Promise<void> {
    return new Promise((resolve) => {
      this.#wake = resolve;
    });
  }

  #take(chunk: string): void {
    this.#text += chunk;
    const blocks = this.#text.split('\n\n');
    this.#text = blocks.pop() ?? '';
    for (const block of blocks) {
      const fields = new Map(
        block.split('\n').map((line) => [line.split(': ')[0], line.slice(line.indexOf(': ') + 2)]),
      );
      const data = fields.get('data');
      if (data === undefined) continue;
      const [id = '', event = ''] = [fields.get('id'), fields.get('event')];
      this.events.push({ id, event, data: JSON.parse(data) });
    }
    this.#wake();
  }
}

async function listening(): Promise<House> {
  const house = await openHouse();
  await house.app.listen({ port: 0, host: '127.0.0.1' });
  return house;
}

async function listen(house: House, token: string, lastEventId?: string): Promise<Listener> {
  const address = house.app.server.address();
  if (address === null || typeof address === 'string') throw new Error('no port');
  const headers: Record<string, string> = { authorization: `Bearer ${token}` };
  if (lastEventId !== undefined) headers['last-event-id'] = lastEventId;
  const url = `http://127.0.0.1:${address.port}/api/events`;
  const response = await new Promise<IncomingMessage>((resolve, reject) => {
    get(url, { headers }, resolve).on('error', reject);
  });
  onTestFinished(() => void response.destroy());
  return new Listener(response);
}

const reading = (atMs: number, site = 'harbour') => ({
  ...{ site, unit: 'rtu-01', atMs },
  channels: { rh: 71.2, leak: 0.0019 },
});

describe('the event stream', () => {
  it('tells of readings, conditions and alarms as they happen', async () => {
    const house = await listening();
    const listener = await listen(house, await house.token('office'));
    expect(listener.response.headers).toMatchObject({
      'content-type': 'text/event-stream; charset=utf-8',
      'cache-control': 'no-store',
      'x-content-type-options': 'nosniff',
    });
    house.live.commit(reading(START_MS));
    house.live.judge('harbour', 'rtu-01', conditionAt(START_MS));
    await house.records.changeAlarms([{ entry: raiseOf(alarmOf('a')) }]);
    house.live.journalGrew();
    const events = await listener.until(3);
    expect(events.map(({ event }) => event)).toEqual(['reading', 'condition', 'alarm']);
    expect(events[0]?.data).toEqual({
      ...{ site: 'harbour', unit: 'rtu-01', time: '2026-01-15T12:00:00Z' },
      ...{ rh: 71.2, leak: 0.0019 },
    });
    expect(events[2]?.data).toMatchObject({ id: 'a', state: 'unacknowledged' });
    for (const { id } of events) expect(id).toMatch(/^\d+-\d+-[\w-]+$/);
  });

  it('tells others at once when someone acknowledges', async () => {
    const house = await listening();
    await house.records.changeAlarms([{ entry: raiseOf(alarmOf('a')) }]);
    const listener = await listen(house, await house.token('viewer'));
    await house.call('technician', 'POST', '/api/alarms/a/acknowledge');
    const [event] = await listener.until(1);
    expect(event?.data).toMatchObject({ id: 'a', state: 'acknowledged' });
  });

  it('finds in the journal what nobody gave a hint of', async () => {
    const house = await listening();
    const listener = await listen(house, await house.token('office'));
    await house.records.changeAlarms([{ entry: raiseOf(alarmOf('a')) }]);
    expect((await listener.until(1))[0]?.data).toMatchObject({ id: 'a' });
  });

  it('goes on after the last event: every alarm, every reading that is remembered', async () => {
    const house = await listening();
    const token = await house.token('office');
    const first = await listen(house, token);
    house.live.commit(reading(START_MS));
    await house.records.changeAlarms([{ entry: raiseOf(alarmOf('a')) }]);
    house.live.journalGrew();
    const lastId = (await first.until(2)).at(-1)?.id ?? '';
    first.response.destroy();
    house.live.commit(reading(START_MS + 1), reading(START_MS + 2));
    await house.records.changeAlarms(['b', 'c'].map((id) => ({ entry: raiseOf(alarmOf(id)) })));
    house.live.journalGrew();
    const second = await listen(house, token, lastId);
    const events = await second.until(4);
    const readings = events.filter(({ event }) => event === 'reading');
    expect(readings.map(({ data }) => data['time'])).toEqual([
      '2026-01-15T12:00:00.001Z',
      '2026-01-15T12:00:00.002Z',
    ]);
    const alarms = events.filter(({ event }) => event === 'alarm');
    expect(alarms.map(({ data }) => data['id'])).toEqual(['b', 'c']);
  });

  it('after a restart of the server still misses no alarm', async () => {
    const house = await listening();
    await house.records.changeAlarms(['a', 'b'].map((id) => ({ entry: raiseOf(alarmOf(id)) })));
    const listener = await listen(house, await house.token('office'), '1-99999-another-run');
    expect((await listener.until(1))[0]?.data).toMatchObject({ id: 'b' });
  });

  it('begins with what happens next for an id that is not ours', async () => {
    const house = await listening();
    await house.records.changeAlarms([{ entry: raiseOf(alarmOf('old')) }]);
    const listener = await listen(house, await house.token('office'), 'nonsense');
    await house.records.changeAlarms([{ entry: raiseOf(alarmOf('new')) }]);
    house.live.journalGrew();
    expect((await listener.until(1))[0]?.data).toMatchObject({ id: 'new' });
  });

  it("keeps to the viewer's sites", async () => {
    const house = await listening();
    const listener = await listen(house, await house.token('viewer', ['mill']));
    house.live.commit(reading(START_MS), reading(START_MS, 'mill'));
    expect((await listener.until(1)).map(({ data }) => data['site'])).toEqual(['mill']);
  });

  it('ends when the server closes, and leaves nothing behind', async () => {
    const house = await listening();
    const listener = await listen(house, await house.token('office'));
    expect(house.live.listenerCount).toBe(3);
    await house.app.close();
    await listener.untilOver();
    expect(house.live.listenerCount).toBe(0);
  });

  it('is bounded in number for each token', async () => {
    const house = await listening();
    const token = await house.token('office');
    for (let at = 0; at < 50; at += 1) await listen(house, token);
    const refused = await listen(house, token);
    expect(refused.response.statusCode).toBe(429);
    expect(refused.response.headers['retry-after']).toBe('30');
    expect((await listen(house, await house.token('viewer'))).response.statusCode).toBe(200);
  });
});
