import type { Database } from 'better-sqlite3';
import type { NodeCredential, NodeRecords } from '../../ports/record-store.ts';
import type { Synchronous } from './synchronous.ts';

interface CredentialRow {
  readonly username: string;
  readonly site: string;
  readonly unit: string;
  readonly secret_hash: string;
  readonly created_at_ms: number;
}

export function nodeRecords(db: Database): Synchronous<NodeRecords> {
  const forget = db.prepare<[string, string]>(
    'DELETE FROM node_credentials WHERE site = ? AND unit = ?',
  );
  const add = db.prepare<[CredentialRow]>(
    `INSERT INTO node_credentials (username, site, unit, secret_hash, created_at_ms)
     VALUES (@username, @site, @unit, @secret_hash, @created_at_ms)`,
  );
  const byName = db.prepare<[string], CredentialRow>(
    'SELECT * FROM node_credentials WHERE username = ?',
  );
  const replace = db.transaction((credential: NodeCredential) => {
    forget.run(credential.site, credential.unit);
    add.run({
      username: credential.username,
      site: credential.site,
      unit: credential.unit,
      secret_hash: credential.secretHash,
      created_at_ms: credential.createdAtMs,
    });
  });
  return {
    setNodeCredential: (credential) => replace.immediate(credential),
    nodeCredential: (username) => {
      const row = byName.get(username);
      return row === undefined
        ? null
        : {
            username: row.username,
            site: row.site,
            unit: row.unit,
            secretHash: row.secret_hash,
            createdAtMs: row.created_at_ms,
          };
    },
  };
}
