import type { Database } from 'better-sqlite3';
import type { Invitation, PeopleRecords, Person, Role } from '../../ports/record-store.ts';
import { foldUsername } from './fold-username.ts';
import { sitesFromJson, sitesToJson } from './json-column.ts';
import type { Synchronous } from './synchronous.ts';

interface InvitationRow {
  readonly secret_hash: string;
  readonly role: Role;
  readonly sites: string | null;
  readonly created_at_ms: number;
  readonly expires_at_ms: number;
}

interface PersonColumns extends Omit<Person, 'sites'> {
  readonly foldedUsername: string;
  readonly sites: string | null;
}

type InvitationPart = Pick<PeopleRecords, 'addInvitation' | 'invitation' | 'acceptInvitation'>;

export function invitationRecords(db: Database): Synchronous<InvitationPart> {
  const add = db.prepare<[InvitationRow]>(
    `INSERT INTO invitations (secret_hash, role, sites, created_at_ms, expires_at_ms)
     VALUES (@secret_hash, @role, @sites, @created_at_ms, @expires_at_ms)`,
  );
  const find = db.prepare<[string], InvitationRow>(
    'SELECT * FROM invitations WHERE secret_hash = ?',
  );
  const consume = db.prepare<[string, number]>(
    'DELETE FROM invitations WHERE secret_hash = ? AND expires_at_ms > ?',
  );
  const addPerson = db.prepare<[PersonColumns]>(
    `INSERT INTO people
       (id, username, folded_username, display_name, password_hash, role, sites, created_at_ms)
     VALUES
       (@id, @username, @foldedUsername, @displayName, @passwordHash, @role, @sites, @createdAtMs)`,
  );
  const accept = db.transaction((secretHash: string, person: Person, nowMs: number): boolean => {
    if (consume.run(secretHash, nowMs).changes === 0) return false;
    const foldedUsername = foldUsername(person.username);
    addPerson.run({ ...person, foldedUsername, sites: sitesToJson(person.sites) });
    return true;
  });
  return {
    addInvitation: ({ secretHash, role, sites, createdAtMs, expiresAtMs }) => {
      add.run({
        secret_hash: secretHash,
        role,
        sites: sitesToJson(sites),
        created_at_ms: createdAtMs,
        expires_at_ms: expiresAtMs,
      });
    },
    invitation: (secretHash) => invitationOf(find.get(secretHash)),
    acceptInvitation: (secretHash, person, nowMs) => accept.immediate(secretHash, person, nowMs),
  };
}

function invitationOf(row: InvitationRow | undefined): Invitation | null {
  if (row === undefined) return null;
  return {
    secretHash: row.secret_hash,
    role: row.role,
    sites: sitesFromJson(row.sites),
    createdAtMs: row.created_at_ms,
    expiresAtMs: row.expires_at_ms,
  };
}
