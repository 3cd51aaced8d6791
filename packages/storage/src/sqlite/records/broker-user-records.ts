import type { Database } from 'better-sqlite3';
import type { BrokerUserRecords } from '../../ports/node-records.ts';
import { sitesFromJson, sitesToJson } from './json-column.ts';
import type { Synchronous } from './synchronous.ts';

interface UserRow {
  readonly name: string;
  readonly sites: string | null;
  readonly mosquitto_hash: string;
  readonly secret: string | null;
  readonly created_at_ms: number;
}

export function brokerUserRecords(db: Database): Synchronous<BrokerUserRecords> {
  const set = db.prepare<[UserRow]>(
    `INSERT INTO broker_users (name, sites, mosquitto_hash, secret, created_at_ms)
     VALUES (@name, @sites, @mosquitto_hash, @secret, @created_at_ms)
     ON CONFLICT (name) DO UPDATE SET sites = excluded.sites, secret = excluded.secret,
       mosquitto_hash = excluded.mosquitto_hash, created_at_ms = excluded.created_at_ms`,
  );
  const all = db.prepare<[], UserRow>('SELECT * FROM broker_users ORDER BY name');
  const remove = db.prepare<[string]>('DELETE FROM broker_users WHERE name = ?');
  return {
    setBrokerUser: ({ name, sites, mosquittoHash, secret, createdAtMs }) => {
      set.run({
        name,
        sites: sitesToJson(sites),
        mosquitto_hash: mosquittoHash,
        secret,
        created_at_ms: createdAtMs,
      });
    },
    brokerUsers: () =>
      all.all().map((row) => ({
        name: row.name,
        sites: sitesFromJson(row.sites),
        mosquittoHash: row.mosquitto_hash,
        secret: row.secret,
        createdAtMs: row.created_at_ms,
      })),
    removeBrokerUser: (name) => remove.run(name).changes > 0,
  };
}
