import type { Database } from 'better-sqlite3';
import type { AlertingRecords, NewPageLink, PageLink } from '../../ports/alerting-records.ts';
import { toJson } from './json-column.ts';
import type { Synchronous } from './synchronous.ts';

interface NewLinkRow {
  readonly id: string;
  readonly page_key: string;
  readonly person: string | null;
  readonly alarm_ids: string;
  readonly created_at_ms: number;
  readonly expires_at_ms: number;
}

interface LinkRow extends NewLinkRow {
  readonly device_hash: string | null;
}

export function pageLinkRecords(
  db: Database,
): Pick<Synchronous<AlertingRecords>, 'pageLink' | 'bindPageLink'> {
  const byId = db.prepare<[string], LinkRow>('SELECT * FROM page_links WHERE id = ?');
  const bind = db
    .prepare<[string, string, number], string>(
      `UPDATE page_links SET device_hash = coalesce(device_hash, ?)
       WHERE id = ? AND expires_at_ms > ? RETURNING device_hash`,
    )
    .pluck();
  return {
    pageLink: (id) => {
      const row = byId.get(id);
      return row === undefined ? null : linkOf(row);
    },
    bindPageLink: (id, deviceHash, nowMs) => bind.get(deviceHash, id, nowMs) ?? null,
  };
}

/** Writes links over by id but for their device, inside the caller's transaction. */
export function pageLinkWriter(db: Database): (links: readonly NewPageLink[]) => void {
  const put = db.prepare<[NewLinkRow]>(
    `INSERT INTO page_links (id, page_key, person, alarm_ids, created_at_ms, expires_at_ms)
     VALUES (@id, @page_key, @person, @alarm_ids, @created_at_ms, @expires_at_ms)
     ON CONFLICT (id) DO UPDATE SET
       page_key = excluded.page_key, person = excluded.person, alarm_ids = excluded.alarm_ids,
       created_at_ms = excluded.created_at_ms, expires_at_ms = excluded.expires_at_ms`,
  );
  return (links) => {
    for (const link of links) put.run(rowOf(link));
  };
}

function rowOf(link: NewPageLink): NewLinkRow {
  return {
    id: link.id,
    page_key: link.pageKey,
    person: link.person,
    alarm_ids: toJson('The alarms of a link', link.alarmIds),
    created_at_ms: link.createdAtMs,
    expires_at_ms: link.expiresAtMs,
  };
}

function linkOf(row: LinkRow): PageLink {
  return {
    id: row.id,
    pageKey: row.page_key,
    person: row.person,
    alarmIds: JSON.parse(row.alarm_ids),
    createdAtMs: row.created_at_ms,
    expiresAtMs: row.expires_at_ms,
    deviceHash: row.device_hash,
  };
}
