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
const NOW_MS = 1_000 * MINUTE_MS;
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
  const newId = () => `id-${ids++}`;
  const writer = new JudgementWriter({ records, untilCommitted, newId, clock: () => NOW_MS });
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

  it('sets aside what is raised in a unit out of service, in the same commit', async () => {
    const records = new MemoryRecords();
    const commits: number[] = [];
    records.beforeJudgement = async () => {
      commits.push(records.journal.length);
    };
    const hold = { id: 'h', owner: 'rosa', reason: 'fan is out', endedAtMs: null, endedBy: null };
    const span = { fromMs: NOW_MS, untilMs: NOW_MS + MINUTE_MS };
    records.holds.push({ ...REF, ...hold, ...span, kind: 'out-of-service' });
    const { writer } = makeWriter(records);
    const findings = [
      { ...REF, changes: [silent('opened', 0)] },
      { ...REF, unit: 'rtu-02', changes: [silent('opened', 0)] },
    ];
    await writer.write({ ...NOTHING, findings });
    expect(records.journal.map(({ event, to, alarm }) => [event, to, alarm.unit])).toEqual([
      ['raise', 'unacknowledged', 'rtu-01'],
      ['raise', 'unacknowledged', 'rtu-02'],
      ['take-out-of-service', 'out-of-service', 'rtu-01'],
    ]);
    expect(commits).toEqual([0]);
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
