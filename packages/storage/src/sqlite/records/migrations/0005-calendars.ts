import type { Migration } from './migration.ts';

/** Secret addresses of people's calendars. */
export const CALENDARS: Migration = {
  version: 5,
  sql: `
CREATE TABLE calendar_secrets (
  username TEXT PRIMARY KEY CHECK (length(username) >= 1),
  secret_hash TEXT NOT NULL UNIQUE
) STRICT;
`,
};
