import { type Alarm, type AlarmJournalEntry, reconcileAlarms } from '@lineside/alarms';
import type { MqttClient } from 'mqtt';
import { describe, expect, it } from 'vitest';
import { anAlarm as alarm } from './stand-ins/an-alarm.ts';
import { eventually } from './stand-ins/eventually.ts';
import { MemoryRecords } from './stand-ins/memory-records.ts';
import { MemoryTelemetry } from './stand-ins/memory-telemetry.ts';
import { NOW_MS, runIngest, tokenSignIn } from './stand-ins/running-ingest.ts';

function entry(one: Alarm): { readonly entry: AlarmJournalEntry } {
  return {
    entry: {
      atMs: NOW_MS,
      event: 'raise',
      from: null,
      to: one.state,
      by: 'watch',
      note: null,
      alarm: one,
    },
  };
}

interface Received {
  readonly topic: string;
  readonly id: string | null;
  readonly state: string | null;
  readonly retained: boolean;
}

/** Collects what arrives; an empty payload has no id. */
async function listen(client: MqttClient, filter = 'lineside/+/+/alarm/+'): Promise<Received[]> {
  const received: Received[] = [];
  client.on('message', (topic, payload, packet) => {
    const json = payload.length === 0 ? null : JSON.parse(payload.toString());
    const { retain: retained } = packet;
    received.push({ topic, id: json?.id ?? null, state: json?.state ?? null, retained });
  });
  await client.subscribeAsync(filter, { qos: 1 });
  return received;
}

const LEAKAGE = 'lineside/harbour-mall/rtu-01/alarm/leakage';

describe('retained alarm topics', () => {
  it('are published anew from the records at a start', async () => {
    const records = new MemoryRecords();
    await records.changeAlarms([entry(alarm({}))]);
    const run = await runIngest({ records, telemetry: new MemoryTelemetry() });
    const received = await listen(await run.connect(tokenSignIn(records, 'office')));
    await eventually(() =>
      expect(received).toEqual([
        { topic: LEAKAGE, id: 'a1', state: 'unacknowledged', retained: true },
      ]),
    );
  });

  it('follow the journal, whoever writes it', async () => {
    const records = new MemoryRecords();
    const run = await runIngest({ records, telemetry: new MemoryTelemetry() });
    let grew = 0;
    run.ingest.onJournal(() => {
      grew += 1;
    });
    const received = await listen(await run.connect(tokenSignIn(records, 'office')));
    await records.changeAlarms([entry(alarm({}))]);
    run.ingest.journalGrew();
    await eventually(() => expect(received).toHaveLength(1));
    const acknowledged = alarm({ state: 'acknowledged', acknowledgedAtMs: NOW_MS, revision: 2 });
    await records.changeAlarms([entry(acknowledged)]);
    run.ingest.journalGrew();
    await eventually(() => expect(received.at(-1)).toMatchObject({ state: 'acknowledged' }));
    expect(grew).toBeGreaterThanOrEqual(2);
  });

  it('are emptied when the alarm is back to normal', async () => {
    const records = new MemoryRecords();
    await records.changeAlarms([entry(alarm({}))]);
    const run = await runIngest({ records, telemetry: new MemoryTelemetry() });
    const received = await listen(await run.connect(tokenSignIn(records, 'office')));
    await eventually(() => expect(received).toHaveLength(1));
    const normal = alarm({ state: 'normal', standing: false, clearedAtMs: NOW_MS, revision: 2 });
    await records.changeAlarms([entry(normal)]);
    run.ingest.journalGrew();
    await eventually(() => expect(received.at(-1)).toMatchObject({ topic: LEAKAGE, id: null }));
    const later = await listen(await run.connect(tokenSignIn(records, 'office')));
    expect(later).toEqual([]);
  });

  it('go back to the older alarm that is open when the newest is withdrawn', async () => {
    const records = new MemoryRecords();
    const old = alarm({
      id: 'old',
      state: 'returned-unacknowledged',
      standing: false,
      raisedAtMs: NOW_MS - 9_000_000,
      clearedAtMs: NOW_MS - 8_000_000,
    });
    const now = alarm({ id: 'now' });
    await records.changeAlarms([entry(old), entry(now)]);
    const run = await runIngest({ records, telemetry: new MemoryTelemetry() });
    const received = await listen(await run.connect(tokenSignIn(records, 'office')));
    await eventually(() => expect(received.map(({ id }) => id)).toEqual(['now']));
    const [withdrawal] = reconcileAlarms([now], [], { atMs: NOW_MS, newId: () => 'unused' });
    await records.changeAlarms([{ entry: withdrawal! }]);
    run.ingest.journalGrew();
    await eventually(() => expect(received.at(-1)).toMatchObject({ topic: LEAKAGE, id: 'old' }));
  });

  it('keep showing the newest alarm when an older one of its kind is acknowledged', async () => {
    const records = new MemoryRecords();
    const old = alarm({
      id: 'old',
      state: 'returned-unacknowledged',
      standing: false,
      raisedAtMs: NOW_MS - 9_000_000,
      clearedAtMs: NOW_MS - 8_000_000,
    });
    await records.changeAlarms([entry(old), entry(alarm({ id: 'new' }))]);
    const run = await runIngest({ records, telemetry: new MemoryTelemetry() });
    await records.changeAlarms([entry({ ...old, state: 'normal', revision: 2 })]);
    run.ingest.journalGrew();
    const other = alarm({ id: 'other', kind: 'moisture' });
    await records.changeAlarms([entry(other)]);
    run.ingest.journalGrew();
    const received = await listen(await run.connect(tokenSignIn(records, 'office')));
    await eventually(() => expect(received.map(({ id }) => id).sort()).toEqual(['new', 'other']));
  });

  it('of other sites do not reach a viewer', async () => {
    const records = new MemoryRecords();
    await records.changeAlarms([
      entry(alarm({ id: 'mine' })),
      entry(alarm({ id: 'theirs', site: 'north-depot' })),
    ]);
    const run = await runIngest({ records, telemetry: new MemoryTelemetry() });
    const viewer = await run.connect(tokenSignIn(records, 'viewer', ['harbour-mall']));
    const received = await listen(viewer);
    const office = await listen(await run.connect(tokenSignIn(records, 'office')));
    await eventually(() => expect(office).toHaveLength(2));
    await records.changeAlarms([
      entry(alarm({ id: 'theirs', site: 'north-depot', state: 'acknowledged', revision: 2 })),
      entry(alarm({ id: 'mine', state: 'acknowledged', revision: 2 })),
    ]);
    run.ingest.journalGrew();
    await eventually(() => expect(received).toHaveLength(2));
    expect(received.map(({ id }) => id)).toEqual(['mine', 'mine']);
  });
});

describe('shelving', () => {
  it('ends when its time is over', async () => {
    const records = new MemoryRecords();
    const shelved = alarm({
      state: 'shelved',
      shelvedUntilMs: NOW_MS + 60_000,
      shelvedBy: 'office',
      shelveReason: 'repair is booked',
    });
    await records.changeAlarms([entry(shelved)]);
    const run = await runIngest({ records, telemetry: new MemoryTelemetry() });
    run.advanceMs(59_000);
    await new Promise(setImmediate);
    expect(records.alarmsById.get('a1')?.state).toBe('shelved');
    run.advanceMs(1_000);
    await eventually(() => expect(records.alarmsById.get('a1')?.state).toBe('unacknowledged'));
    expect(records.journal.at(-1)).toMatchObject({ event: 'shelf-expired', by: 'clock' });
  });
});
