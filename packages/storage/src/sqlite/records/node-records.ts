import type { Database } from 'better-sqlite3';
import type { NodeCredential, NodeRecords, NodeRevocation } from '../../ports/node-records.ts';
import type { UnitRef } from '../../ports/record-store.ts';
import type { Synchronous } from './synchronous.ts';

interface CredentialRow {
  readonly username: string;
  readonly site: string;
  readonly unit: string;
  readonly secret_hash: string;
  readonly mosquitto_hash: string | null;
  readonly created_at_ms: number;
}

type Credentials = Pick<NodeRecords, 'setNodeCredential' | 'nodeCredential' | 'nodeCredentials'>;

export function nodeRecords(db: Database): Synchronous<NodeRecords> {
  return { ...credentialRecords(db), ...revocationRecords(db) };
}

function credentialRecords(db: Database): Synchronous<Credentials> {
  const forget = forgetStatement(db);
  const add = db.prepare<[CredentialRow]>(
    `INSERT INTO node_credentials
       (username, site, unit, secret_hash, mosquitto_hash, created_at_ms)
     VALUES (@username, @site, @unit, @secret_hash, @mosquitto_hash, @created_at_ms)`,
  );
  const byName = db.prepare<[string], CredentialRow>(
    'SELECT * FROM node_credentials WHERE username = ?',
  );
  const all = db.prepare<[], CredentialRow>('SELECT * FROM node_credentials ORDER BY site, unit');
  const replace = db.transaction((credential: NodeCredential) => {
    forget.run(credential.site, credential.unit);
    add.run({
      username: credential.username,
      site: credential.site,
      unit: credential.unit,
      secret_hash: credential.secretHash,
      mosquitto_hash: credential.mosquittoHash,
      created_at_ms: credential.createdAtMs,
    });
  });
  return {
    setNodeCredential: (credential) => replace.immediate(credential),
    nodeCredential: (username) => {
      const row = byName.get(username);
      return row === undefined ? null : fromRow(row);
    },
    nodeCredentials: () => all.all().map(fromRow),
  };
}

function fromRow(row: CredentialRow): NodeCredential {
  return {
    username: row.username,
    site: row.site,
    unit: row.unit,
    secretHash: row.secret_hash,
    mosquittoHash: row.mosquitto_hash,
    createdAtMs: row.created_at_ms,
  };
}

function revocationRecords(db: Database): Synchronous<Omit<NodeRecords, keyof Credentials>> {
  const forget = forgetStatement(db);
  const add = db.prepare<[string, string, number]>(
    'INSERT INTO node_revocations (site, unit, at_ms) VALUES (?, ?, ?)',
  );
  const standing = db.prepare<[], UnitRef>(
    `SELECT DISTINCT site, unit FROM node_revocations AS r WHERE NOT EXISTS
       (SELECT 1 FROM node_credentials AS c WHERE c.site = r.site AND c.unit = r.unit)
     ORDER BY site, unit`,
  );
  const after = db.prepare<[number], NodeRevocation>(
    `SELECT sequence, site, unit, at_ms AS atMs FROM node_revocations
     WHERE sequence > ? ORDER BY sequence`,
  );
  const revoke = db.transaction(({ site, unit }: UnitRef, atMs: number) => {
    forget.run(site, unit);
    add.run(site, unit, atMs);
  });
  return {
    revokeNode: (ref, atMs) => revoke.immediate(ref, atMs),
    revokedNodes: () => standing.all(),
    revocationsAfter: (sequence) => after.all(sequence),
  };
}

function forgetStatement(db: Database) {
  return db.prepare<[string, string]>('DELETE FROM node_credentials WHERE site = ? AND unit = ?');
}
