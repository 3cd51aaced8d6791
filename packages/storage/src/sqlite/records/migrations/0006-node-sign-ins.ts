import type { Migration } from './migration.ts';

/** What an outside broker is told of nodes, which sign-ins were taken away, and other users. */
export const NODE_SIGN_INS: Migration = {
  version: 6,
  sql: `
ALTER TABLE node_credentials ADD COLUMN mosquitto_hash TEXT;

CREATE TABLE node_revocations (
  sequence INTEGER PRIMARY KEY AUTOINCREMENT,
  site TEXT NOT NULL,
  unit TEXT NOT NULL,
  at_ms INTEGER NOT NULL
) STRICT;

CREATE TABLE broker_users (
  name TEXT PRIMARY KEY CHECK (length(name) >= 1),
  sites TEXT,
  mosquitto_hash TEXT NOT NULL,
  secret TEXT,
  created_at_ms INTEGER NOT NULL
) STRICT;
`,
};
