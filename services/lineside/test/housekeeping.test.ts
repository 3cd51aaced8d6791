import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  type NewMessage,
  openRecordStore,
  openTelemetryStore,
  type RecordStore,
  type TelemetryStore,
} from '@lineside/storage';
import { pino } from 'pino';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { startHousekeeping } from '../src/serve/housekeeping.ts';

const DAY_MS = 86_400_000;
const NOW_MS: number = Date.UTC(2026, 0, 10, 4, 12);

let root: string;
let records: RecordStore;
let telemetry: TelemetryStore;

beforeEach(async () => {
  root = await mkdtemp(join(tmpdir(), 'housekeeping-'));
  records = await openRecordStore({ file: join(root, 'records.db') });
  telemetry = await openTelemetryStore({ folder: join(root, 'telemetry') });
});

afterEach(async () => {
  await Promise.all([records.close(), telemetry.close()]);
  await rm(root, { recursive: true, force: true });
});

function message(id: string, createdAtMs: number): NewMessage {
  return {
    id,
    revision: 1,
    pageKey: 'page-1',
    person: null,
    contact: 'office',
    channel: 'e-mail',
    words: 'wet',
    createdAtMs,
    dueAtMs: createdAtMs,
    expiresAtMs: createdAtMs,
  };
}

it('forgets messages and links that are over for 30 days, and what waits stays', async () => {
  const old = NOW_MS - 30 * DAY_MS - 1;
  const young = NOW_MS - 30 * DAY_MS;
  const link = { pageKey: 'page-1', person: null, alarmIds: ['a1'], createdAtMs: old };
  await records.commitAlerting({
    basedOn: 0,
    journalThrough: 0,
    paging: {},
    asks: [],
    forgotten: [],
    withdrawn: [],
    messages: [message('old', old), message('old-waits', old), message('young', young)],
    links: [
      { ...link, id: 'old', expiresAtMs: old },
      { ...link, id: 'young', expiresAtMs: young },
    ],
  });
  const outcome = { revision: 1, attempts: 1, handedOverAtMs: young, failure: null };
  await records.settleMessages(
    ['old', 'young'].map((id) => ({ ...outcome, id, state: 'handed-over', dueAtMs: young })),
  );
  const end = startHousekeeping({
    telemetry,
    records,
    clock: () => NOW_MS,
    retentionDays: 800,
    log: pino({ level: 'silent' }),
  });
  await end();
  const { items } = await records.messages({ limit: 10, cursor: null });
  expect(items.map(({ id }) => id)).toEqual(['young', 'old-waits']);
  expect(await records.pageLink('old')).toBeNull();
  expect(await records.pageLink('young')).toMatchObject({ id: 'young' });
});

it('does not ask a store to forget that cannot, and forgets the rest all the same', async () => {
  const lacking: TelemetryStore = Object.create(telemetry, {
    lacks: { value: { dropBefore: 'it keeps a period of its own' } },
    dropBefore: { value: () => Promise.reject(new Error('asked all the same')) },
  });
  const old = NOW_MS - 31 * DAY_MS;
  const reason = { topic: 'a', code: 'b', reason: 'c', payload: new Uint8Array() };
  await records.quarantine([{ ...reason, atMs: old }]);
  const failures: string[] = [];
  const log = pino({ level: 'error' }, { write: (line) => void failures.push(line) });
  const options = { telemetry: lacking, records, clock: () => NOW_MS, retentionDays: 1, log };
  await startHousekeeping(options)();
  expect(failures).toEqual([]);
  expect((await records.quarantined({ limit: 10, cursor: null })).items).toEqual([]);
});

it('has a store sum up that does so apart from appending, and tells of a failure', async () => {
  const asked: number[] = [];
  const summing: TelemetryStore = Object.create(telemetry, {
    lacks: { value: {} },
    sumUp: {
      value: (nowMs: number) => {
        asked.push(nowMs);
        return Promise.reject(new Error('the server hangs'));
      },
    },
    dropBefore: { value: async () => {} },
  });
  const told: string[] = [];
  const log = pino({ level: 'warn' }, { write: (line) => void told.push(line) });
  const options = { telemetry: summing, records, clock: () => NOW_MS, retentionDays: 1, log };
  await startHousekeeping(options)();
  expect(asked).toEqual([NOW_MS]);
  expect(told).toHaveLength(1);
  expect(told[0]).toContain('the server hangs');
});
