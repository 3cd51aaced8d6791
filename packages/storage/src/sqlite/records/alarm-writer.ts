import type { Alarm } from '@lineside/alarms';
import type { Database } from 'better-sqlite3';
import type { AlarmChange } from '../../ports/record-store.ts';
import { StoreError } from '../../ports/store-error.ts';
import { toJson } from './json-column.ts';

interface AlarmColumns {
  readonly id: string;
  readonly site: string;
  readonly unit: string;
  readonly kind: string;
  readonly standing: number;
  readonly open: number;
  readonly raisedAtMs: number;
  readonly clearedAtMs: number | null;
  readonly withdrawn: number;
  readonly revision: number;
  readonly alarm: string;
}

interface JournalColumns {
  readonly alarmId: string;
  readonly atMs: number;
  readonly event: string;
  readonly from: string | null;
  readonly to: string;
  readonly by: string;
  readonly note: string | null;
  readonly alarm: string;
}

/**
 * Writes alarms with their journal entries, in order. For use within a transaction: it throws
 * `STORE_CONFLICT` at the first change that does not follow the stored one, and leaves it to the
 * transaction that nothing is kept.
 */
export function alarmWriter(db: Database): (changes: readonly AlarmChange[]) => void {
  const revisionOf = db
    .prepare<[string], number>('SELECT revision FROM alarms WHERE id = ?')
    .pluck();
  const put = db.prepare<[AlarmColumns]>(
    `INSERT INTO alarms
       (id, site, unit, kind, standing, open, withdrawn, raised_at_ms, cleared_at_ms, revision,
        alarm)
     VALUES
       (@id, @site, @unit, @kind, @standing, @open, @withdrawn, @raisedAtMs, @clearedAtMs, @revision,
        @alarm)
     ON CONFLICT (id) DO UPDATE SET
       site = excluded.site, unit = excluded.unit, kind = excluded.kind,
       standing = excluded.standing, open = excluded.open, withdrawn = excluded.withdrawn,
       raised_at_ms = excluded.raised_at_ms, cleared_at_ms = excluded.cleared_at_ms,
       revision = excluded.revision, alarm = excluded.alarm`,
  );
  const log = db.prepare<[JournalColumns]>(
    `INSERT INTO alarm_journal (alarm_id, at_ms, event, from_state, to_state, by_whom, note, alarm)
     VALUES (@alarmId, @atMs, @event, @from, @to, @by, @note, @alarm)`,
  );
  return (changes) => {
    for (const { entry } of changes) {
      const { atMs, event, from, to, by, note, alarm } = entry;
      checkFollows(alarm, revisionOf.get(alarm.id) ?? 0);
      const columns = columnsOf(alarm);
      put.run(columns);
      log.run({ alarmId: alarm.id, atMs, event, from, to, by, note, alarm: columns.alarm });
    }
  };
}

function checkFollows(alarm: Alarm, storedRevision: number): void {
  if (storedRevision === alarm.revision - 1) return;
  const message =
    `Alarm ${alarm.id} is stored with revision ${storedRevision} (0 for none), ` +
    `which revision ${alarm.revision} does not follow; read it again and decide anew`;
  throw new StoreError('STORE_CONFLICT', message);
}

function columnsOf(alarm: Alarm): AlarmColumns {
  return {
    id: alarm.id,
    site: alarm.site,
    unit: alarm.unit,
    kind: alarm.kind,
    standing: alarm.standing ? 1 : 0,
    open: alarm.state === 'normal' ? 0 : 1,
    raisedAtMs: alarm.raisedAtMs,
    clearedAtMs: alarm.clearedAtMs,
    withdrawn: alarm.withdrawn ? 1 : 0,
    revision: alarm.revision,
    alarm: toJson('An alarm', alarm),
  };
}
