import type { Alarm } from '@lineside/alarms';
import type { Database } from 'better-sqlite3';
import type { AlarmChange, AlarmRecords, StoredJournalEntry } from '../../ports/record-store.ts';
import { StoreError } from '../../ports/store-error.ts';
import { alarmList } from './alarm-list.ts';
import { alarmWriter } from './alarm-writer.ts';
import { alarmFromJson } from './json-column.ts';
import { checkedLimit } from './pages.ts';
import type { Synchronous } from './synchronous.ts';

interface JournalRow {
  readonly sequence: number;
  readonly at_ms: number;
  readonly event: StoredJournalEntry['event'];
  readonly from_state: StoredJournalEntry['from'];
  readonly to_state: StoredJournalEntry['to'];
  readonly by_whom: string;
  readonly note: string | null;
  readonly alarm: string;
}

/** The place of each alarm among those of its unit and kind, 1 for the newest; for alarms alive. */
const AGE = `row_number() OVER
  (PARTITION BY site, unit, kind ORDER BY raised_at_ms DESC, id DESC) AS age`;

export function alarmRecords(db: Database): Synchronous<AlarmRecords> {
  const one = db.prepare<[string], string>('SELECT alarm FROM alarms WHERE id = ?').pluck();
  const newest = db
    .prepare<[string, string], string>(
      `SELECT alarm FROM (SELECT kind, alarm, ${AGE} FROM alarms
         WHERE site = ? AND unit = ? AND withdrawn = 0)
       WHERE age = 1 ORDER BY kind`,
    )
    .pluck();
  const open = db
    .prepare<[], string>(
      `SELECT alarm FROM alarms
       WHERE open = 1 OR id IN (SELECT id FROM (SELECT id, ${AGE} FROM alarms WHERE withdrawn = 0) WHERE age = 1)
       ORDER BY raised_at_ms DESC, id DESC`,
    )
    .pluck();
  const since = db
    .prepare<[string, string, number], string>(
      `SELECT alarm FROM alarms
       WHERE site = ? AND unit = ? AND withdrawn = 0
         AND (cleared_at_ms IS NULL OR cleared_at_ms >= ?)
       ORDER BY raised_at_ms, id`,
    )
    .pluck();
  const write = alarmWriter(db);
  const change = db.transaction((changes: readonly AlarmChange[]) => write(changes));
  return {
    alarm: (id) => alarmOf(one.get(id)),
    alarms: alarmList(db),
    newestAlarms: ({ site, unit }) => newest.all(site, unit).map(alarmFromJson),
    openAlarms: () => open.all().map(alarmFromJson),
    alarmsSince: ({ site, unit }, sinceMs) => since.all(site, unit, sinceMs).map(alarmFromJson),
    changeAlarms: (changes) => change.immediate(changes),
    ...journalRecords(db),
  };
}

type JournalPart = Pick<AlarmRecords, 'journalAfter' | 'journalEnd' | 'journalOf'>;

function journalRecords(db: Database): Synchronous<JournalPart> {
  const after = db.prepare<[number, number], JournalRow>(
    'SELECT * FROM alarm_journal WHERE sequence > ? ORDER BY sequence LIMIT ?',
  );
  const end = db
    .prepare<[], number>('SELECT coalesce(max(sequence), 0) FROM alarm_journal')
    .pluck();
  const ofAlarm = db.prepare<[string], JournalRow>(
    'SELECT * FROM alarm_journal WHERE alarm_id = ? ORDER BY sequence',
  );
  return {
    journalAfter: (sequence, limit) =>
      after.all(checkedSequence(sequence), checkedLimit(limit)).map(entryOf),
    journalEnd: () => end.get() ?? 0,
    journalOf: (alarmId) => ofAlarm.all(alarmId).map(entryOf),
  };
}

function checkedSequence(sequence: number): number {
  if (Number.isSafeInteger(sequence) && sequence >= 0) return sequence;
  const message = `sequence must be a whole number from 0 on, it is ${sequence}`;
  throw new StoreError('STORE_BAD_INPUT', message);
}

function alarmOf(text: string | undefined): Alarm | null {
  return text === undefined ? null : alarmFromJson(text);
}

function entryOf(row: JournalRow): StoredJournalEntry {
  return {
    sequence: row.sequence,
    atMs: row.at_ms,
    event: row.event,
    from: row.from_state,
    to: row.to_state,
    by: row.by_whom,
    note: row.note,
    alarm: alarmFromJson(row.alarm),
  };
}
