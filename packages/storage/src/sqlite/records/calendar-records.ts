import type { Database } from 'better-sqlite3';
import type { CalendarRecords } from '../../ports/calendar-records.ts';
import type { Synchronous } from './synchronous.ts';

export function calendarRecords(db: Database): Synchronous<CalendarRecords> {
  const put = db.prepare<[string, string]>(
    `INSERT INTO calendar_secrets (username, secret_hash) VALUES (?, ?)
     ON CONFLICT (username) DO UPDATE SET secret_hash = excluded.secret_hash`,
  );
  const remove = db.prepare<[string]>('DELETE FROM calendar_secrets WHERE username = ?');
  const owner = db
    .prepare<[string], string>('SELECT username FROM calendar_secrets WHERE secret_hash = ?')
    .pluck();
  return {
    setCalendarSecret: (username, secretHash) => {
      if (secretHash === null) remove.run(username);
      else put.run(username, secretHash);
    },
    calendarOwner: (secretHash) => owner.get(secretHash) ?? null,
  };
}
