import type { Database } from 'better-sqlite3';
import type { AlarmLifeRecords, AlarmVerdict, UnitHold } from '../../ports/alarm-life-records.ts';
import { type AfterParameters, type PageParameters, readOldestFirst, readPage } from './pages.ts';
import type { Synchronous } from './synchronous.ts';

interface HoldRow {
  readonly id: string;
  readonly site: string;
  readonly unit: string;
  readonly kind: UnitHold['kind'];
  readonly owner: string;
  readonly reason: string;
  readonly from_ms: number;
  readonly until_ms: number;
  readonly ended_at_ms: number | null;
  readonly ended_by: string | null;
}

interface UnitPage extends PageParameters {
  readonly site: string;
  readonly unit: string;
}

interface VerdictPage {
  readonly afterKey: number;
  readonly afterAlarm: string;
  readonly afterPerson: string;
  readonly rows: number;
}

type VerdictPart = Pick<Synchronous<AlarmLifeRecords>, 'setVerdict' | 'verdictsOf' | 'verdicts'>;

/** Between the two ids in the place of a verdict: neither has line breaks. */
const BETWEEN_IDS = '\n';

export function alarmLifeRecords(db: Database): Synchronous<AlarmLifeRecords> {
  return { ...holdRecords(db), ...verdictRecords(db) };
}

function holdRecords(db: Database): Omit<Synchronous<AlarmLifeRecords>, keyof VerdictPart> {
  const add = db.prepare<[UnitHold]>(
    `INSERT INTO unit_holds
       (id, site, unit, kind, owner, reason, from_ms, until_ms, ended_at_ms, ended_by)
     VALUES (@id, @site, @unit, @kind, @owner, @reason, @fromMs, @untilMs, @endedAtMs, @endedBy)`,
  );
  const has = db.prepare<[string], number>('SELECT 1 FROM unit_holds WHERE id = ?').pluck();
  // One that ran out by itself has ended as well, and nobody ended it.
  const end = db.prepare<[number, string, string, number]>(
    `UPDATE unit_holds SET ended_at_ms = ?, ended_by = ?
     WHERE id = ? AND ended_at_ms IS NULL AND until_ms > ?`,
  );
  const endOne = db.transaction((id: string, endedAtMs: number, endedBy: string): boolean => {
    end.run(endedAtMs, endedBy, id, endedAtMs);
    return has.get(id) !== undefined;
  });
  const notOver = db.prepare<[number, number], HoldRow>(
    `SELECT * FROM unit_holds
     WHERE until_ms > ? AND (ended_at_ms IS NULL OR ended_at_ms > ?)
     ORDER BY site, unit, from_ms, id`,
  );
  const page = db.prepare<[UnitPage], HoldRow>(
    `SELECT * FROM unit_holds
     WHERE site = @site AND unit = @unit AND (from_ms, id) < (@beforeKey, @beforeId)
     ORDER BY from_ms DESC, id DESC LIMIT @rows`,
  );
  return {
    addUnitHold: (hold) => {
      add.run(hold);
    },
    endUnitHold: (id, endedAtMs, endedBy) => endOne.immediate(id, endedAtMs, endedBy),
    unitHoldsAt: (nowMs) => notOver.all(nowMs, nowMs).map(holdOf),
    unitHolds: ({ site, unit, ...request }) =>
      readPage(
        'unit-holds',
        request,
        (parameters) => page.all({ site, unit, ...parameters }),
        holdOf,
        (row) => ({ key: row.from_ms, id: row.id }),
      ),
  };
}

function verdictRecords(db: Database): VerdictPart {
  const columns = 'alarm_id AS alarmId, verdict, found, cause, by_whom AS "by", at_ms AS atMs';
  const set = db.prepare<[AlarmVerdict]>(
    `INSERT INTO alarm_verdicts (alarm_id, by_whom, verdict, found, cause, at_ms)
     VALUES (@alarmId, @by, @verdict, @found, @cause, @atMs)
     ON CONFLICT (alarm_id, by_whom) DO UPDATE SET
       verdict = excluded.verdict, found = excluded.found, cause = excluded.cause,
       at_ms = excluded.at_ms`,
  );
  const ofAlarm = db.prepare<[string], AlarmVerdict>(
    `SELECT ${columns} FROM alarm_verdicts WHERE alarm_id = ?
     ORDER BY at_ms DESC, by_whom DESC`,
  );
  const page = db.prepare<[VerdictPage], AlarmVerdict>(
    `SELECT ${columns} FROM alarm_verdicts
     WHERE (at_ms, alarm_id, by_whom) > (@afterKey, @afterAlarm, @afterPerson)
     ORDER BY at_ms, alarm_id, by_whom LIMIT @rows`,
  );
  return {
    setVerdict: (verdict) => {
      set.run(verdict);
    },
    verdictsOf: (alarmId) => ofAlarm.all(alarmId),
    verdicts: (query) =>
      readOldestFirst(
        'verdicts',
        query,
        (parameters) => page.all(verdictPage(parameters)),
        (verdict) => verdict,
        ({ atMs, alarmId, by }) => ({ key: atMs, id: `${alarmId}${BETWEEN_IDS}${by}` }),
      ),
  };
}

function verdictPage({ afterKey, afterId, rows }: AfterParameters): VerdictPage {
  const [afterAlarm = '', afterPerson = ''] = afterId.split(BETWEEN_IDS);
  return { afterKey, afterAlarm, afterPerson, rows };
}

function holdOf(row: HoldRow): UnitHold {
  return {
    id: row.id,
    site: row.site,
    unit: row.unit,
    kind: row.kind,
    owner: row.owner,
    reason: row.reason,
    fromMs: row.from_ms,
    untilMs: row.until_ms,
    endedAtMs: row.ended_at_ms,
    endedBy: row.ended_by,
  };
}
