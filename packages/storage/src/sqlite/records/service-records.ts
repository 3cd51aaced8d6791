import type { Database } from 'better-sqlite3';
import type { ServiceEntry, ServiceRecord, ServiceRecords } from '../../ports/record-store.ts';
import { toJson } from './json-column.ts';
import { type PageParameters, readPage } from './pages.ts';
import type { Synchronous } from './synchronous.ts';

interface ServiceRow {
  readonly id: string;
  readonly site: string;
  readonly unit: string;
  readonly at_ms: number;
  readonly action: string;
  readonly body: string;
  readonly recorded_at_ms: number;
  readonly recorded_by: string;
}

interface UnitPage extends PageParameters {
  readonly site: string;
  readonly unit: string;
}

export function serviceRecords(db: Database): Synchronous<ServiceRecords> {
  const add = db.prepare<[ServiceRow]>(
    `INSERT INTO service_records
       (id, site, unit, at_ms, action, body, recorded_at_ms, recorded_by)
     VALUES (@id, @site, @unit, @at_ms, @action, @body, @recorded_at_ms, @recorded_by)`,
  );
  const page = db.prepare<[UnitPage], ServiceRow>(
    `SELECT * FROM service_records
     WHERE site = @site AND unit = @unit AND (at_ms, id) < (@beforeKey, @beforeId)
     ORDER BY at_ms DESC, id DESC LIMIT @rows`,
  );
  const between = db.prepare<[string, string, number, number], ServiceRow>(
    `SELECT * FROM service_records WHERE site = ? AND unit = ? AND at_ms >= ? AND at_ms < ?
     ORDER BY at_ms, id`,
  );
  const after = db.prepare<[number, number], ServiceEntry>(
    'SELECT rowid AS sequence, site, unit FROM service_records WHERE rowid > ? ORDER BY rowid LIMIT ?',
  );
  const end = db.prepare<[], { readonly sequence: number }>(
    'SELECT coalesce(max(rowid), 0) AS sequence FROM service_records',
  );
  return {
    addServiceRecord: (record) => {
      add.run(rowOf(record));
    },
    serviceRecords: ({ site, unit, ...request }) =>
      readPage(
        'service',
        request,
        (parameters) => page.all({ site, unit, ...parameters }),
        recordOf,
        (row) => ({ key: row.at_ms, id: row.id }),
      ),
    serviceBetween: ({ site, unit }, fromMs, toMs) =>
      between.all(site, unit, fromMs, toMs).map(recordOf),
    servicesAfter: (sequence, limit) => after.all(sequence, limit),
    serviceEnd: () => end.get()?.sequence ?? 0,
  };
}

function rowOf(record: ServiceRecord): ServiceRow {
  return {
    id: record.id,
    site: record.site,
    unit: record.unit,
    at_ms: record.atMs,
    action: record.action,
    body: toJson('The body', record.body),
    recorded_at_ms: record.recordedAtMs,
    recorded_by: record.recordedBy,
  };
}

function recordOf(row: ServiceRow): ServiceRecord {
  return {
    id: row.id,
    site: row.site,
    unit: row.unit,
    atMs: row.at_ms,
    action: row.action,
    body: JSON.parse(row.body),
    recordedAtMs: row.recorded_at_ms,
    recordedBy: row.recorded_by,
  };
}
