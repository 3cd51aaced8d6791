import type { Migration } from './migration.ts';

/** Alarms that can be withdrawn, and what judging anew starts from. */
export const REPLAY: Migration = {
  version: 2,
  sql: `
ALTER TABLE alarms ADD COLUMN withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1));

CREATE TABLE dirty_units (
  site TEXT NOT NULL,
  unit TEXT NOT NULL,
  from_ms INTEGER NOT NULL,
  generation INTEGER NOT NULL CHECK (generation >= 1),
  PRIMARY KEY (site, unit)
) STRICT;

-- Outlives the marks, so that no generation comes twice.
CREATE TABLE dirty_generations (
  site TEXT NOT NULL,
  unit TEXT NOT NULL,
  generation INTEGER NOT NULL CHECK (generation >= 1),
  PRIMARY KEY (site, unit)
) STRICT;

CREATE TABLE watch_snapshots (
  site TEXT NOT NULL,
  unit TEXT NOT NULL,
  through_ms INTEGER NOT NULL,
  deflated_state BLOB NOT NULL,
  PRIMARY KEY (site, unit, through_ms)
) STRICT;

CREATE TABLE settings_versions (
  site TEXT NOT NULL,
  unit TEXT NOT NULL,
  from_ms INTEGER NOT NULL,
  settings TEXT NOT NULL,
  PRIMARY KEY (site, unit, from_ms)
) STRICT;
`,
};
