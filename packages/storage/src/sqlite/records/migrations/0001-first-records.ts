import type { Migration } from './migration.ts';

const FLEET_AND_ALARMS = `
CREATE TABLE fleet_document (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  document TEXT NOT NULL
) STRICT;

CREATE TABLE alarms (
  id TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
  site TEXT NOT NULL,
  unit TEXT NOT NULL,
  kind TEXT NOT NULL,
  standing INTEGER NOT NULL CHECK (standing IN (0, 1)),
  open INTEGER NOT NULL CHECK (open IN (0, 1)),
  raised_at_ms INTEGER NOT NULL,
  cleared_at_ms INTEGER,
  revision INTEGER NOT NULL CHECK (revision >= 1),
  alarm TEXT NOT NULL
) STRICT;
CREATE INDEX alarms_by_raise ON alarms (raised_at_ms DESC, id DESC);
CREATE INDEX alarms_by_unit ON alarms (site, unit, kind, raised_at_ms DESC, id DESC);
CREATE INDEX alarms_open ON alarms (raised_at_ms DESC, id DESC) WHERE open = 1;
CREATE UNIQUE INDEX alarms_standing ON alarms (site, unit, kind) WHERE standing = 1;

CREATE TABLE alarm_journal (
  sequence INTEGER PRIMARY KEY AUTOINCREMENT,
  alarm_id TEXT NOT NULL REFERENCES alarms (id),
  at_ms INTEGER NOT NULL,
  event TEXT NOT NULL,
  from_state TEXT,
  to_state TEXT NOT NULL,
  by_whom TEXT NOT NULL,
  note TEXT,
  alarm TEXT NOT NULL
) STRICT;
CREATE INDEX alarm_journal_by_alarm ON alarm_journal (alarm_id, sequence);
CREATE TRIGGER alarm_journal_keeps_words BEFORE UPDATE ON alarm_journal
BEGIN SELECT RAISE(ABORT, 'the alarm journal is append-only'); END;
CREATE TRIGGER alarm_journal_keeps_lines BEFORE DELETE ON alarm_journal
BEGIN SELECT RAISE(ABORT, 'the alarm journal is append-only'); END;
`;

const JUDGEMENT_AND_SERVICE = `
CREATE TABLE watch_checkpoints (
  site TEXT NOT NULL,
  unit TEXT NOT NULL,
  judged_through_ms INTEGER NOT NULL,
  state TEXT NOT NULL,
  PRIMARY KEY (site, unit)
) STRICT;

CREATE TABLE wetting_episodes (
  site TEXT NOT NULL,
  unit TEXT NOT NULL,
  start_ms INTEGER NOT NULL,
  end_ms INTEGER,
  episode TEXT NOT NULL,
  PRIMARY KEY (site, unit, start_ms)
) STRICT;

CREATE TABLE service_records (
  id TEXT PRIMARY KEY CHECK (length(id) >= 1),
  site TEXT NOT NULL,
  unit TEXT NOT NULL,
  at_ms INTEGER NOT NULL,
  action TEXT NOT NULL,
  body TEXT NOT NULL,
  recorded_at_ms INTEGER NOT NULL,
  recorded_by TEXT NOT NULL
) STRICT;
CREATE INDEX service_records_by_unit ON service_records (site, unit, at_ms, id);
`;

const NODES = `
CREATE TABLE quarantine (
  sequence INTEGER PRIMARY KEY AUTOINCREMENT,
  at_ms INTEGER NOT NULL,
  topic TEXT NOT NULL,
  code TEXT NOT NULL,
  reason TEXT NOT NULL,
  payload BLOB NOT NULL CHECK (length(payload) <= 4096)
) STRICT;
CREATE INDEX quarantine_by_time ON quarantine (at_ms);

CREATE TABLE presence (
  site TEXT NOT NULL,
  unit TEXT NOT NULL,
  online INTEGER NOT NULL CHECK (online IN (0, 1)),
  since_ms INTEGER NOT NULL,
  PRIMARY KEY (site, unit)
) STRICT;

CREATE TABLE node_credentials (
  username TEXT PRIMARY KEY CHECK (length(username) >= 1),
  site TEXT NOT NULL,
  unit TEXT NOT NULL,
  secret_hash TEXT NOT NULL,
  created_at_ms INTEGER NOT NULL,
  UNIQUE (site, unit)
) STRICT;
`;

const PEOPLE = `
CREATE TABLE api_tokens (
  id TEXT PRIMARY KEY CHECK (length(id) >= 1),
  token_hash TEXT NOT NULL UNIQUE,
  role TEXT NOT NULL CHECK (role IN ('office', 'technician', 'viewer')),
  sites TEXT,
  created_at_ms INTEGER NOT NULL
) STRICT;

CREATE TABLE people (
  id TEXT PRIMARY KEY CHECK (length(id) >= 1),
  username TEXT NOT NULL CHECK (length(username) >= 1),
  folded_username TEXT NOT NULL UNIQUE,
  display_name TEXT NOT NULL,
  password_hash TEXT NOT NULL,
  role TEXT NOT NULL CHECK (role IN ('office', 'technician', 'viewer')),
  sites TEXT,
  created_at_ms INTEGER NOT NULL
) STRICT;

CREATE TABLE invitations (
  secret_hash TEXT PRIMARY KEY,
  role TEXT NOT NULL CHECK (role IN ('office', 'technician', 'viewer')),
  sites TEXT,
  created_at_ms INTEGER NOT NULL,
  expires_at_ms INTEGER NOT NULL
) STRICT;

CREATE TABLE sign_in_failures (
  folded_username TEXT PRIMARY KEY,
  count INTEGER NOT NULL CHECK (count >= 1),
  last_at_ms INTEGER NOT NULL
) STRICT;
CREATE INDEX sign_in_failures_by_time ON sign_in_failures (last_at_ms);

CREATE TABLE sessions (
  session_hash TEXT PRIMARY KEY,
  person_id TEXT NOT NULL REFERENCES people (id),
  csrf_token TEXT NOT NULL,
  created_at_ms INTEGER NOT NULL,
  expires_at_ms INTEGER NOT NULL
) STRICT;
CREATE INDEX sessions_by_end ON sessions (expires_at_ms);
CREATE INDEX sessions_by_person ON sessions (person_id);
`;

/**
 * The first schema. STRICT tables and checks refuse what is no record at the last door; `alarms`
 * lets one alarm of a unit and kind stand at a time.
 */
export const FIRST_RECORDS: Migration = {
  version: 1,
  sql: FLEET_AND_ALARMS + JUDGEMENT_AND_SERVICE + NODES + PEOPLE,
};
