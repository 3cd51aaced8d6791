import type { FindingChange } from '@lineside/anomaly';
import { StoreError } from '@lineside/storage';
import { pino } from 'pino';
import { describe, expect, it, vi } from 'vitest';
import { Pauses } from '../src/commit/pause.ts';
import { StoreHealth } from '../src/commit/store-health.ts';
import { JudgementWriter } from '../src/judging/judgement-writer.ts';
import { createUntilCommitted } from '../src/judging/until-committed.ts';
import { MemoryRecords } from './stand-ins/memory-records.ts';

const REF = { site: 'harbour-mall', unit: 'rtu-01' };
const MINUTE_MS = 60_000;
const NOTHING = { checkpoints: [], snapshots: [], episodes: [], findings: [] };

function silent(change: 'opened' | 'escalated', atMs: number): FindingChange {
  return {
    change,
    kind: 'silent',
    priority: change === 'opened' ? 'routine' : 'urgent',
    atMs,
    headline: 'Nothing heard from the node',
    evidence: {},
    causes: [{ cause: 'node-offline', probability: 1, because: ['a test'] }],
  };
}

function makeWriter(records: MemoryRecords) {
  let ids = 0;
  let told = 0;
  const health = new StoreHealth('records', pino({ level: 'silent' }));
  const untilCommitted = createUntilCommitted({
    health,
    pauses: new Pauses(),
    onAlarms: () => {
      told += 1;
    },
  });
  const writer = new JudgementWriter({ records, untilCommitted, newId: () => `id-${ids++}` });
  return { writer, health, told: () => told };
}

describe('judgement writer', () => {
  it('lets later findings of a unit meet the alarms of earlier ones', async () => {
    const records = new MemoryRecords();
    const { writer, told } = makeWriter(records);
    const findings = [
      { ...REF, changes: [silent('opened', 0)] },
      { ...REF, changes: [silent('escalated', 180 * MINUTE_MS)] },
      { ...REF, changes: [{ change: 'closed', kind: 'silent', atMs: 200 * MINUTE_MS } as const] },
    ];
    expect(await writer.write({ ...NOTHING, findings })).toBe(true);
    expect(records.journal.map(({ event, alarm }) => [event, alarm.id, alarm.revision])).toEqual([
      ['raise', 'id-0', 1],
      ['escalate', 'id-0', 2],
      ['clear', 'id-0', 3],
    ]);
    expect(told()).toBe(1);
  });

  it('writes alarms and checkpoints together, and tries a conflict again at once', async () => {
    const records = new MemoryRecords();
    const { writer, health } = makeWriter(records);
    const failed = vi.spyOn(health, 'failed');
    let attempts = 0;
    records.beforeJudgement = async () => {
      attempts += 1;
      if (attempts === 1) {
        throw new StoreError('STORE_CONFLICT', 'somebody was faster');
      }
    };
    const checkpoints = [{ ...REF, judgedThroughMs: 5, state: {} }];
    const findings = [{ ...REF, changes: [silent('opened', 0)] }];
    expect(await writer.write({ ...NOTHING, checkpoints, findings })).toBe(true);
    expect([attempts, records.alarmsById.size, records.checkpointsByUnit.size]).toEqual([2, 1, 1]);
    expect(failed).not.toHaveBeenCalled();
  });

  it('says nothing about the store when there is nothing to write', async () => {
    const records = new MemoryRecords();
    const { writer, health } = makeWriter(records);
    health.failed(new StoreError('STORE_UNAVAILABLE', 'gone'));
    expect(await writer.write(NOTHING)).toBe(true);
    expect(health.state.state).toBe('down');
  });
});
