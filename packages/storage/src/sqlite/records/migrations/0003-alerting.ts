import type { Migration } from './migration.ts';

const ALERTING = `
CREATE TABLE alerting_state (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  generation INTEGER NOT NULL CHECK (generation >= 1),
  journal_through INTEGER NOT NULL CHECK (journal_through >= 0)
) STRICT;

-- Beside the state, since it is big and many steps leave it as it is.
CREATE TABLE alerting_paging (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  document TEXT NOT NULL
) STRICT;

CREATE TABLE alerting_asks (
  alarm_id TEXT PRIMARY KEY CHECK (length(alarm_id) >= 1),
  ask TEXT NOT NULL
) STRICT;

CREATE TABLE outbox_messages (
  id TEXT PRIMARY KEY
    CHECK (length(id) BETWEEN 1 AND 128 AND id NOT GLOB '*[^A-Za-z0-9_.-]*'),
  revision INTEGER NOT NULL,
  page_key TEXT NOT NULL
    CHECK (length(page_key) BETWEEN 1 AND 32 AND page_key NOT GLOB '*[^a-z0-9-]*'),
  person TEXT,
  contact TEXT NOT NULL,
  channel TEXT NOT NULL CHECK (channel IN ('web-push', 'e-mail', 'webhook')),
  words TEXT NOT NULL,
  created_at_ms INTEGER NOT NULL,
  due_at_ms INTEGER NOT NULL,
  expires_at_ms INTEGER NOT NULL,
  state TEXT NOT NULL CHECK (state IN ('waiting', 'handed-over', 'given-up')),
  attempts INTEGER NOT NULL CHECK (attempts >= 0),
  handed_over_at_ms INTEGER,
  failure TEXT
) STRICT;
CREATE INDEX outbox_messages_due ON outbox_messages (due_at_ms, id) WHERE state = 'waiting';
CREATE INDEX outbox_messages_by_time ON outbox_messages (created_at_ms, id);

-- Outlives the messages, which are written over and forgotten.
CREATE TABLE channel_hand_overs (
  channel TEXT PRIMARY KEY,
  at_ms INTEGER NOT NULL
) STRICT;

CREATE TABLE page_links (
  id TEXT PRIMARY KEY CHECK (length(id) >= 1),
  page_key TEXT NOT NULL
    CHECK (length(page_key) BETWEEN 1 AND 32 AND page_key NOT GLOB '*[^a-z0-9-]*'),
  person TEXT,
  alarm_ids TEXT NOT NULL,
  created_at_ms INTEGER NOT NULL,
  expires_at_ms INTEGER NOT NULL,
  device_hash TEXT
) STRICT;
CREATE INDEX page_links_by_end ON page_links (expires_at_ms);
`;

const ON_CALL = `
CREATE TABLE rota (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  generation INTEGER NOT NULL CHECK (generation >= 1),
  document TEXT NOT NULL
) STRICT;

CREATE TABLE contact_points (
  id TEXT PRIMARY KEY
    CHECK (length(id) BETWEEN 1 AND 64 AND id NOT GLOB '*[^A-Za-z0-9_.-]*'),
  person TEXT,
  channel TEXT NOT NULL CHECK (channel IN ('web-push', 'e-mail', 'webhook')),
  name TEXT NOT NULL,
  address TEXT NOT NULL,
  created_at_ms INTEGER NOT NULL,
  origin TEXT NOT NULL CHECK (origin IN ('file', 'device'))
) STRICT;

CREATE TABLE house_secrets (
  name TEXT PRIMARY KEY CHECK (length(name) >= 1),
  secret TEXT NOT NULL
) STRICT;
`;

const ALARM_LIFE = `
CREATE TABLE unit_holds (
  id TEXT PRIMARY KEY CHECK (length(id) >= 1),
  site TEXT NOT NULL,
  unit TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('maintenance', 'out-of-service')),
  owner TEXT NOT NULL,
  reason TEXT NOT NULL,
  from_ms INTEGER NOT NULL,
  until_ms INTEGER NOT NULL,
  ended_at_ms INTEGER,
  ended_by TEXT
) STRICT;
CREATE INDEX unit_holds_by_unit ON unit_holds (site, unit, from_ms, id);
CREATE INDEX unit_holds_by_end ON unit_holds (until_ms);

CREATE TABLE alarm_verdicts (
  alarm_id TEXT NOT NULL CHECK (length(alarm_id) >= 1),
  by_whom TEXT NOT NULL,
  verdict TEXT NOT NULL CHECK (verdict IN ('true', 'false', 'unclear')),
  found TEXT NOT NULL,
  cause TEXT,
  at_ms INTEGER NOT NULL,
  PRIMARY KEY (alarm_id, by_whom)
) STRICT;
CREATE INDEX alarm_verdicts_by_time ON alarm_verdicts (at_ms, alarm_id, by_whom);
`;

/** Who is asked about an alarm, how they are reached, and what people say about alarms. */
export const ALERTING_AND_ON_CALL: Migration = {
  version: 3,
  sql: ALERTING + ON_CALL + ALARM_LIFE,
};
