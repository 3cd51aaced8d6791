import type { Database } from 'better-sqlite3';
import type { PeopleRecords, Person, Role } from '../../ports/record-store.ts';
import { foldUsername } from './fold-username.ts';
import { invitationRecords } from './invitation-records.ts';
import { sitesFromJson } from './json-column.ts';
import { sessionRecords } from './session-records.ts';
import { signInFailureRecords } from './sign-in-failure-records.ts';
import type { Synchronous } from './synchronous.ts';
import { tokenRecords } from './token-records.ts';

interface PersonRow {
  readonly id: string;
  readonly username: string;
  readonly display_name: string;
  readonly password_hash: string;
  readonly role: Role;
  readonly sites: string | null;
  readonly created_at_ms: number;
}

export function peopleRecords(db: Database): Synchronous<PeopleRecords> {
  const count = db.prepare<[], number>('SELECT count(*) FROM people').pluck();
  const byId = db.prepare<[string], PersonRow>('SELECT * FROM people WHERE id = ?');
  const byName = db.prepare<[string], PersonRow>('SELECT * FROM people WHERE folded_username = ?');
  return {
    countPeople: () => count.get() ?? 0,
    person: (id) => personOf(byId.get(id)),
    personByUsername: (username) => personOf(byName.get(foldUsername(username))),
    ...tokenRecords(db),
    ...invitationRecords(db),
    ...signInFailureRecords(db),
    ...sessionRecords(db),
  };
}

function personOf(row: PersonRow | undefined): Person | null {
  if (row === undefined) return null;
  return {
    id: row.id,
    username: row.username,
    displayName: row.display_name,
    passwordHash: row.password_hash,
    role: row.role,
    sites: sitesFromJson(row.sites),
    createdAtMs: row.created_at_ms,
  };
}
