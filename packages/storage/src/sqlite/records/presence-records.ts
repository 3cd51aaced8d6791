import type { Database } from 'better-sqlite3';
import type { PresenceRecords } from '../../ports/record-store.ts';
import type { Synchronous } from './synchronous.ts';

interface PresenceRow {
  readonly site: string;
  readonly unit: string;
  readonly online: number;
  readonly since_ms: number;
}

export function presenceRecords(db: Database): Synchronous<PresenceRecords> {
  const set = db.prepare<[string, string, number, number]>(
    `INSERT INTO presence (site, unit, online, since_ms) VALUES (?, ?, ?, ?)
     ON CONFLICT (site, unit) DO UPDATE SET online = excluded.online, since_ms = excluded.since_ms`,
  );
  const all = db.prepare<[], PresenceRow>('SELECT * FROM presence ORDER BY site, unit');
  return {
    setPresence: ({ site, unit, online, sinceMs }) => {
      set.run(site, unit, online ? 1 : 0, sinceMs);
    },
    presences: () =>
      all.all().map((row) => ({
        site: row.site,
        unit: row.unit,
        online: row.online === 1,
        sinceMs: row.since_ms,
      })),
  };
}
