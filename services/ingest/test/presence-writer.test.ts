import { StoreError } from '@lineside/storage';
import { pino } from 'pino';
import { describe, expect, it } from 'vitest';
import { Pauses } from '../src/commit/pause.ts';
import { StoreHealth } from '../src/commit/store-health.ts';
import { PresenceWriter } from '../src/presence/presence-writer.ts';
import { eventually } from './stand-ins/eventually.ts';
import { MemoryRecords } from './stand-ins/memory-records.ts';

const REF = { site: 'harbour-mall', unit: 'rtu-01' };

function makeWriter() {
  const records = new MemoryRecords();
  const health = new StoreHealth('records', pino({ level: 'silent' }));
  const pauses = new Pauses();
  return { records, health, pauses, writer: new PresenceWriter({ records, health, pauses }) };
}

describe('presence writer', () => {
  it('acknowledges after the store kept the word', async () => {
    const { writer, records } = makeWriter();
    const seen: unknown[] = [];
    writer.set({ ...REF, online: true, sinceMs: 1 }, () =>
      seen.push(records.presenceByUnit.get('harbour-mall/rtu-01')),
    );
    await writer.drain();
    expect(seen).toEqual([{ ...REF, online: true, sinceMs: 1 }]);
  });

  it('keeps only the newest word of a unit while the store is away', async () => {
    const { writer, records, health } = makeWriter();
    records.failure = new StoreError('STORE_UNAVAILABLE', 'locked');
    let acknowledged = 0;
    for (let sinceMs = 1; sinceMs <= 5; sinceMs++) {
      writer.set({ ...REF, online: sinceMs % 2 === 1, sinceMs }, () => {
        acknowledged += 1;
      });
    }
    await eventually(() => expect(health.state.state).toBe('down'));
    expect(acknowledged).toBe(0);
    records.failure = null;
    await writer.drain();
    expect(acknowledged).toBe(5);
    expect([...records.presenceByUnit.values()]).toEqual([{ ...REF, online: true, sinceMs: 5 }]);
    expect(health.state.state).toBe('ok');
  });

  it('says offline for all at a start, since nobody can be connected yet', async () => {
    const { writer, records } = makeWriter();
    await records.setPresence({ ...REF, online: true, sinceMs: 1 });
    await records.setPresence({ ...REF, unit: 'rtu-02', online: false, sinceMs: 2 });
    await writer.allOffline(9);
    expect([...records.presenceByUnit.values()]).toEqual([
      { ...REF, online: false, sinceMs: 9 },
      { ...REF, unit: 'rtu-02', online: false, sinceMs: 2 },
    ]);
  });

  it('ends when told to, though the store is away', async () => {
    const { writer, records, health, pauses } = makeWriter();
    records.failure = new StoreError('STORE_UNAVAILABLE', 'locked');
    let acknowledged = false;
    writer.set({ ...REF, online: true, sinceMs: 1 }, () => {
      acknowledged = true;
    });
    await eventually(() => expect(health.state.state).toBe('down'));
    pauses.endAll();
    await writer.drain();
    expect(acknowledged).toBe(false);
  });
});
