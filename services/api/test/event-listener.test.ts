import { type Alarm, alarmJson } from '@lineside/alarms';
import { beforeEach, describe, expect, it } from 'vitest';
import type { Principal } from '../src/auth/principal.ts';
import { EventListener, STALLED_MOST_SECONDS } from '../src/events/event-listener.ts';
import { EventMemory } from '../src/events/event-memory.ts';
import { JournalFeed } from '../src/events/journal-feed.ts';
import { LiveEvent } from '../src/events/live-event.ts';
import { alarmOf, raiseOf } from './support/alarm.ts';
import { conditionAt } from './support/live.ts';
import { MemoryRecords } from './support/memory-records.ts';

const OFFICE: Principal = { role: 'office', sites: null, name: 'o', key: 'o', session: null };

/** A connection that takes `room` more writes before it is full. */
class TestSink {
  room = Number.POSITIVE_INFINITY;
  isEnded = false;
  readonly written: { id: string; event: string; data: Record<string, unknown> }[] = [];
  comments = 0;

  write(text: string): boolean {
    const field = (name: string) => new RegExp(`^${name}: (.*)$`, 'm').exec(text)?.[1] ?? '';
    if (text.startsWith(':')) this.comments += 1;
    else {
      expect(text).toMatch(/\n\n$/);
      const data = JSON.parse(field('data'));
      this.written.push({ id: field('id'), event: field('event'), data });
    }
    this.room -= 1;
    return this.room > 0;
  }
  end(): void {
    this.isEnded = true;
  }
}

let records: MemoryRecords;
let feed: JournalFeed;
let memory: EventMemory;
let sink: TestSink;

beforeEach(async () => {
  records = new MemoryRecords();
  feed = new JournalFeed(records, alarmJson);
  await feed.start();
  memory = new EventMemory();
  sink = new TestSink();
});

const listen = (principal = OFFICE, start = { journal: 0, memory: 0 }): EventListener =>
  new EventListener(principal, sink, feed, { run: 'r', ...start });

const reading = (unit: string, atMs: number, site = 'harbour'): LiveEvent =>
  memory.add((at) => LiveEvent.reading(at, { site, unit, atMs, channels: { leak: atMs } }));

async function journal(...alarms: readonly Alarm[]): Promise<void> {
  await records.changeAlarms(alarms.map((alarm) => ({ entry: raiseOf(alarm) })));
  await feed.readOn();
}

const leaks = (): unknown[] => sink.written.map(({ data }) => data['leak']);
const ids = (): unknown[] => sink.written.map(({ data }) => data['id']);

describe('readings and conditions', () => {
  it('are all sent while they are few', () => {
    const listener = listen();
    for (let second = 0; second < 3; second += 1) {
      for (let at = 0; at < 200; at += 1) listener.offer(reading('rtu-01', second * 1000 + at));
      listener.nextSecond();
    }
    expect(sink.written).toHaveLength(600);
    expect(sink.written[0]).toEqual({
      id: '0-1-r',
      event: 'reading',
      data: { site: 'harbour', unit: 'rtu-01', time: '1970-01-01T00:00:00Z', leak: 0 },
    });
  });

  it('are the newest a unit and second in a flood', () => {
    const listener = listen();
    const second = (from: number, count: number) => {
      for (let at = 0; at < count; at += 1) {
        listener.offer(reading(`rtu-${at % 10}`, from + at));
      }
      const before = sink.written.length;
      listener.nextSecond();
      return sink.written.length - before;
    };
    expect(second(0, 1000)).toBe(10);
    expect(sink.written).toHaveLength(210);
    // The flood goes on: nothing but the newest of each unit, once.
    expect(second(10_000, 1000)).toBe(10);
    expect(sink.written).toHaveLength(220);
    expect(leaks().slice(-10)).toEqual([
      10_990, 10_991, 10_992, 10_993, 10_994, 10_995, 10_996, 10_997, 10_998, 10_999,
    ]);
    // It ebbs: after one second every reading counts again.
    second(20_000, 10);
    listener.offer(reading('rtu-1', 30_000));
    listener.offer(reading('rtu-1', 30_001));
    expect(leaks().slice(-2)).toEqual([30_000, 30_001]);
  });

  it('prefer the newest event time when a backlog comes in beside', () => {
    sink.room = 1;
    const listener = listen();
    listener.offer(reading('other', 0));
    listener.offer(reading('rtu-01', 5000));
    listener.offer(reading('rtu-01', 100));
    sink.room = 10;
    listener.drained().catch(() => undefined);
    expect(leaks()).toEqual([0, 5000]);
  });

  it('are those of the sites that the listener may read', async () => {
    const listener = listen({ ...OFFICE, role: 'viewer', sites: ['mill'] });
    listener.offer(reading('rtu-01', 1));
    listener.offer(reading('rtu-01', 2, 'mill'));
    const judged = (site: string) =>
      memory.add((at) => LiveEvent.condition(at, site, 'rtu-01', conditionAt(0)));
    listener.offer(judged('harbour'));
    listener.offer(judged('mill'));
    await journal(alarmOf('h'), alarmOf('m', { site: 'mill' }));
    await listener.fetchAlarms();
    expect(sink.written.map(({ data, event }) => `${event} ${data['site']}`)).toEqual([
      'reading mill',
      'condition mill',
      'alarm mill',
    ]);
  });

  it('of a condition look as in the list of units', () => {
    const wetting = { sinceMs: 0, source: 'condensation' } as const;
    const condition = conditionAt(0, { wetting });
    listen().offer(memory.add((at) => LiveEvent.condition(at, 'harbour', 'rtu-01', condition)));
    expect(sink.written[0]?.data).toMatchObject({
      site: 'harbour',
      unit: 'rtu-01',
      time: '1970-01-01T00:00:00Z',
      leakageMilliamps: 1.9,
      wetting: { since: '1970-01-01T00:00:00Z', source: 'condensation' },
    });
  });
});

describe('alarms', () => {
  it('come from the journal in its order, all of them, however slow the connection', async () => {
    const listener = listen();
    const alarms = Array.from({ length: 1234 }, (_, at) => alarmOf(`a${at}`));
    await journal(...alarms);
    sink.room = 7;
    await listener.fetchAlarms();
    expect(sink.written).toHaveLength(7);
    while (sink.written.length < alarms.length) {
      sink.room = 50;
      await listener.drained();
    }
    expect(ids()).toEqual(alarms.map((alarm) => alarm.id));
  });

  it('go on exactly after the last one, also when the newest are no longer kept in memory', async () => {
    await journal(...Array.from({ length: 5000 }, (_, at) => alarmOf(`a${at}`)));
    await listen(OFFICE, { journal: 4990, memory: 0 }).fetchAlarms();
    expect(ids()).toEqual(Array.from({ length: 10 }, (_, at) => `a${4990 + at}`));
    sink.written.length = 0;
    await listen(OFFICE, { journal: 2500, memory: 0 }).fetchAlarms();
    expect(sink.written).toHaveLength(2500);
    expect(sink.written[0]).toMatchObject({ id: '2501-0-r', event: 'alarm' });
  });
});

describe('a slow connection', () => {
  it('gets only the newest of each unit once it takes more, and no heartbeat before', () => {
    const listener = listen();
    sink.room = 1;
    for (let at = 0; at < 100; at += 1) listener.offer(reading(`rtu-${at % 2}`, at));
    listener.heartbeat();
    expect(sink.written).toHaveLength(1);
    expect(sink.comments).toBe(0);
    sink.room = 100;
    listener.drained().catch(() => undefined);
    expect(leaks()).toEqual([0, 98, 99]);
    listener.heartbeat();
    expect(sink.comments).toBe(1);
  });

  it('never gets an id that skips what still waits', () => {
    const listener = listen();
    sink.room = 1;
    listener.offer(reading('rtu-0', 0));
    listener.offer(reading('rtu-1', 1));
    listener.offer(memory.add((at) => LiveEvent.condition(at, 'harbour', 'x', conditionAt(0))));
    listener.offer(reading('rtu-2', 2));
    sink.room = 2;
    listener.drained().catch(() => undefined);
    // Sequences 2 and 4 were sent, 3 waits: a resume must begin with it.
    expect(sink.written.map(({ id }) => id)).toEqual(['0-1-r', '0-2-r', '0-2-r']);
  });

  it('is given up when it takes nothing for long', () => {
    const listener = listen();
    sink.room = 1;
    listener.offer(reading('rtu-0', 0));
    for (let second = 0; second < STALLED_MOST_SECONDS; second += 1) listener.nextSecond();
    expect(sink.isEnded).toBe(false);
    listener.nextSecond();
    expect(sink.isEnded).toBe(true);
    listener.offer(reading('rtu-0', 1));
    expect(sink.written).toHaveLength(1);
  });
});

describe('the memory of events', () => {
  it('keeps the newest and gives those after a sequence', () => {
    memory = new EventMemory(5);
    for (let at = 1; at <= 12; at += 1) reading('rtu-01', at);
    expect([...memory.after(9)].map((event) => event.atMs)).toEqual([10, 11, 12]);
    expect([...memory.after(2)].map((event) => event.atMs)).toEqual([8, 9, 10, 11, 12]);
    expect([...memory.after(12)]).toEqual([]);
  });
});
