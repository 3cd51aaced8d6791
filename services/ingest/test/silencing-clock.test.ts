import type { Alarm, AlarmJournalEntry } from '@lineside/alarms';
import { StoreError, type UnitHold } from '@lineside/storage';
import { pino } from 'pino';
import { describe, expect, it, onTestFinished } from 'vitest';
import { SilencingClock } from '../src/publish/silencing-clock.ts';
import { anAlarm as alarm } from './stand-ins/an-alarm.ts';
import { eventually } from './stand-ins/eventually.ts';
import { MemoryRecords } from './stand-ins/memory-records.ts';
import { MemoryTelemetry } from './stand-ins/memory-telemetry.ts';
import { NOW_MS, runIngest, tokenSignIn } from './stand-ins/running-ingest.ts';

const HOUR_MS = 3_600_000;

function raised(one: Alarm): { readonly entry: AlarmJournalEntry } {
  const to = one.state;
  const line = { atMs: NOW_MS, event: 'raise', from: null, to, by: 'watch', note: null } as const;
  return { entry: { ...line, alarm: one } };
}

function outOfService(more: Partial<UnitHold> = {}): UnitHold {
  return {
    id: 'h1',
    site: 'harbour-mall',
    unit: 'rtu-01',
    kind: 'out-of-service',
    owner: 'rosa',
    reason: 'compressor is ordered',
    fromMs: NOW_MS,
    untilMs: NOW_MS + HOUR_MS,
    endedAtMs: null,
    endedBy: null,
    ...more,
  };
}

const SUPPLY_LOSS = alarm({ id: 's1', kind: 'supply-loss' });
const UNBALANCE = alarm({ id: 'u1', kind: 'unbalance' });
const CLEARED = { standing: false, clearedAtMs: NOW_MS, revision: 2 } as const;

/** A clock over records in memory whose time stands still until a test moves it. */
function clockOver(records: MemoryRecords, looksAt = records) {
  const time = { nowMs: NOW_MS };
  const hints: number[] = [];
  const clock = new SilencingClock({
    records: looksAt,
    clock: () => time.nowMs,
    log: pino({ level: 'silent' }),
    onAlarms: () => hints.push(time.nowMs),
  });
  onTestFinished(() => clock.stop());
  const state = (id: string) => records.alarmsById.get(id)?.state;
  return { clock, time, hints, state };
}

async function holding(...alarms: readonly Alarm[]): Promise<MemoryRecords> {
  const records = new MemoryRecords();
  await records.changeAlarms(alarms.map(raised));
  return records;
}

describe('a unit out of service', () => {
  it('takes its alarms with it, those that come later too, and ends by itself', async () => {
    const records = await holding(alarm({}), alarm({ id: 'other', unit: 'rtu-02' }));
    records.holds.push(outOfService());
    const { clock, time, hints, state } = clockOver(records);
    clock.note([...records.alarmsById.values()]);
    clock.start();
    await eventually(() => expect(state('a1')).toBe('out-of-service'));
    const late = alarm({ id: 'late', kind: 'moisture' });
    await records.changeAlarms([raised(late)]);
    clock.note([late]);
    await eventually(() => expect(state('late')).toBe('out-of-service'));
    expect(state('other')).toBe('unacknowledged');
    expect(records.journal.at(-1)).toMatchObject({
      event: 'take-out-of-service',
      by: 'clock',
      note: 'unit out of service until 2026-01-10T05:00:00Z, rosa: compressor is ordered',
    });
    expect(hints).toHaveLength(2);
    time.nowMs += HOUR_MS;
    clock.check();
    await eventually(() =>
      expect([state('a1'), state('late')]).toEqual(Array(2).fill('unacknowledged')),
    );
    expect(records.journal.at(-1)).toMatchObject({ event: 'return-to-service', by: 'clock' });
  });

  it('is found again after a restart, as is its end that came meanwhile', async () => {
    const records = await holding(
      alarm({ state: 'out-of-service', revision: 1 }),
      alarm({ id: 'b', unit: 'rtu-02' }),
    );
    records.holds.push(outOfService({ unit: 'rtu-02' }));
    const { clock, state } = clockOver(records);
    clock.note(await records.openAlarms());
    clock.start();
    await eventually(() => expect(state('a1')).toBe('unacknowledged'));
    await eventually(() => expect(state('b')).toBe('out-of-service'));
  });

  it('under maintenance leaves alarms as they are', async () => {
    const records = await holding(alarm({}));
    records.holds.push(outOfService({ kind: 'maintenance' }));
    const { clock } = clockOver(records);
    clock.note([...records.alarmsById.values()]);
    clock.start();
    await clock.stop();
    expect(records.journal).toHaveLength(1);
  });
});

describe('suppression by design', () => {
  it('follows the alarm that it is for', async () => {
    const records = await holding(SUPPLY_LOSS, UNBALANCE, alarm({}));
    const { clock, state } = clockOver(records);
    clock.note([...records.alarmsById.values()]);
    clock.start();
    await eventually(() => expect(state('u1')).toBe('suppressed'));
    expect([state('s1'), state('a1')]).toEqual(Array(2).fill('unacknowledged'));
    const over = { ...SUPPLY_LOSS, ...CLEARED, state: 'returned-unacknowledged' } as const;
    await records.changeAlarms([raised(over)]);
    clock.note([over]);
    await eventually(() => expect(state('u1')).toBe('unacknowledged'));
  });

  it('gives way to somebody who was faster, and goes by what is kept then', async () => {
    const records = await holding(SUPPLY_LOSS, UNBALANCE);
    const { clock, state } = clockOver(records);
    clock.note([SUPPLY_LOSS, UNBALANCE]);
    const answered = { ...UNBALANCE, state: 'acknowledged', revision: 2 } as const;
    await records.changeAlarms([raised(answered)]);
    clock.start();
    await clock.stop();
    expect(state('u1')).toBe('acknowledged');
    const risen = { ...answered, state: 'unacknowledged', revision: 3 } as const;
    await records.changeAlarms([raised(risen)]);
    // The clock has heard of revision 2 only.
    clock.note([{ ...risen, revision: 2 }]);
    clock.start();
    await eventually(() => expect(state('u1')).toBe('suppressed'));
    expect(records.alarmsById.get('u1')?.revision).toBe(4);
  });

  it('is tried again when the store fails', async () => {
    const records = await holding(SUPPLY_LOSS, UNBALANCE);
    const { clock, state } = clockOver(records);
    records.failure = new StoreError('STORE_FULL', 'the disk is full');
    clock.note([SUPPLY_LOSS, UNBALANCE]);
    clock.start();
    await new Promise(setImmediate);
    expect(state('u1')).toBe('unacknowledged');
    records.failure = null;
    clock.check();
    await eventually(() => expect(state('u1')).toBe('suppressed'));
  });

  it('shows in the retained topic', async () => {
    const records = await holding(SUPPLY_LOSS, UNBALANCE);
    const run = await runIngest({ records, telemetry: new MemoryTelemetry() });
    const client = await run.connect(tokenSignIn(records, 'office'));
    const states: unknown[] = [];
    client.on('message', (_topic, payload) => {
      states.push(JSON.parse(payload.toString()).state);
    });
    await client.subscribeAsync('lineside/harbour-mall/rtu-01/alarm/unbalance', { qos: 1 });
    await eventually(() => expect(states.at(-1)).toBe('suppressed'));
  });
});
