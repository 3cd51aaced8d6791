import type { Migration } from './migration.ts';

/** Wettings of the whole fleet by their start, for storms. */
export const EPISODES_BY_START: Migration = {
  version: 4,
  sql: 'CREATE INDEX wetting_episodes_by_start ON wetting_episodes (start_ms DESC, site, unit);',
};
