import type { Database } from 'better-sqlite3';
import type { PeopleRecords, Role } from '../../ports/record-store.ts';
import { sitesFromJson, sitesToJson } from './json-column.ts';
import type { Synchronous } from './synchronous.ts';

interface TokenRow {
  readonly id: string;
  readonly token_hash: string;
  readonly role: Role;
  readonly sites: string | null;
  readonly created_at_ms: number;
}

export function tokenRecords(
  db: Database,
): Synchronous<Pick<PeopleRecords, 'addToken' | 'tokenByHash'>> {
  const add = db.prepare<[TokenRow]>(
    `INSERT INTO api_tokens (id, token_hash, role, sites, created_at_ms)
     VALUES (@id, @token_hash, @role, @sites, @created_at_ms)`,
  );
  const byHash = db.prepare<[string], TokenRow>('SELECT * FROM api_tokens WHERE token_hash = ?');
  return {
    addToken: ({ id, tokenHash, role, sites, createdAtMs }) => {
      add.run({
        id,
        token_hash: tokenHash,
        role,
        sites: sitesToJson(sites),
        created_at_ms: createdAtMs,
      });
    },
    tokenByHash: (tokenHash) => {
      const row = byHash.get(tokenHash);
      if (row === undefined) return null;
      return {
        id: row.id,
        tokenHash: row.token_hash,
        role: row.role,
        sites: sitesFromJson(row.sites),
        createdAtMs: row.created_at_ms,
      };
    },
  };
}
