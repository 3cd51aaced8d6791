import type { Database } from 'better-sqlite3';
import type { PeopleRecords, SessionRecord } from '../../ports/record-store.ts';
import type { Synchronous } from './synchronous.ts';

type SessionPart = Pick<
  PeopleRecords,
  'addSession' | 'sessionByHash' | 'endSession' | 'forgetSessionsBefore'
>;

export function sessionRecords(db: Database): Synchronous<SessionPart> {
  const add = db.prepare<[SessionRecord]>(
    `INSERT INTO sessions (session_hash, person_id, csrf_token, created_at_ms, expires_at_ms)
     VALUES (@sessionHash, @personId, @csrfToken, @createdAtMs, @expiresAtMs)
     ON CONFLICT (session_hash) DO UPDATE SET expires_at_ms = excluded.expires_at_ms`,
  );
  const find = db.prepare<[string], SessionRecord>(
    `SELECT session_hash AS sessionHash, person_id AS personId, csrf_token AS csrfToken,
       created_at_ms AS createdAtMs, expires_at_ms AS expiresAtMs
     FROM sessions WHERE session_hash = ?`,
  );
  const end = db.prepare<[string]>('DELETE FROM sessions WHERE session_hash = ?');
  const forget = db.prepare<[number]>('DELETE FROM sessions WHERE expires_at_ms <= ?');
  return {
    addSession: ({ sessionHash, personId, csrfToken, createdAtMs, expiresAtMs }) => {
      add.run({ sessionHash, personId, csrfToken, createdAtMs, expiresAtMs });
    },
    sessionByHash: (sessionHash) => find.get(sessionHash) ?? null,
    endSession: (sessionHash) => {
      end.run(sessionHash);
    },
    forgetSessionsBefore: (nowMs) => {
      forget.run(nowMs);
    },
  };
}
