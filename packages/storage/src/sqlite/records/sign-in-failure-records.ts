import type { Database } from 'better-sqlite3';
import type { PeopleRecords, SignInFailures } from '../../ports/record-store.ts';
import { foldUsername } from './fold-username.ts';
import type { Synchronous } from './synchronous.ts';

/** Names whose failures are kept: who tries invented names must not fill the disk. */
export const SIGN_IN_FAILURES_MOST_NAMES = 10_000;

const NONE: SignInFailures = { count: 0, lastAtMs: 0 };

type FailurePart = Pick<PeopleRecords, 'signInFailures' | 'setSignInFailures'>;

export function signInFailureRecords(db: Database): Synchronous<FailurePart> {
  const find = db.prepare<[string], SignInFailures>(
    'SELECT count, last_at_ms AS lastAtMs FROM sign_in_failures WHERE folded_username = ?',
  );
  const put = db.prepare<[string, number, number]>(
    `INSERT INTO sign_in_failures (folded_username, count, last_at_ms) VALUES (?, ?, ?)
     ON CONFLICT (folded_username) DO UPDATE SET
       count = excluded.count, last_at_ms = excluded.last_at_ms`,
  );
  const forget = db.prepare<[string]>('DELETE FROM sign_in_failures WHERE folded_username = ?');
  const trim = db.prepare<[number]>(
    `DELETE FROM sign_in_failures WHERE folded_username IN
       (SELECT folded_username FROM sign_in_failures ORDER BY last_at_ms DESC LIMIT -1 OFFSET ?)`,
  );
  const set = db.transaction((name: string, { count, lastAtMs }: SignInFailures) => {
    if (count === 0) {
      forget.run(name);
      return;
    }
    put.run(name, count, lastAtMs);
    trim.run(SIGN_IN_FAILURES_MOST_NAMES);
  });
  return {
    signInFailures: (username) => find.get(foldUsername(username)) ?? NONE,
    setSignInFailures: (username, failures) => set.immediate(foldUsername(username), failures),
  };
}
