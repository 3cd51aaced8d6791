import type { Database } from 'better-sqlite3';
import type { Rejudged } from '../../ports/record-store.ts';

/** Forgets what units had that were judged anew. For use within a transaction. */
export function forgetWriter(db: Database): (rejudged: readonly Rejudged[]) => void {
  const forgetSnapshots = db.prepare<[string, string, number]>(
    'DELETE FROM watch_snapshots WHERE site = ? AND unit = ? AND through_ms > ?',
  );
  const forgetEpisodes = db.prepare<[string, string, number]>(
    'DELETE FROM wetting_episodes WHERE site = ? AND unit = ? AND start_ms > ?',
  );
  const forgetMark = db.prepare<[string, string, number]>(
    'DELETE FROM dirty_units WHERE site = ? AND unit = ? AND generation = ?',
  );
  return (rejudged) => {
    for (const { site, unit, sinceMs, generation } of rejudged) {
      forgetSnapshots.run(site, unit, sinceMs);
      forgetEpisodes.run(site, unit, sinceMs);
      if (generation !== null) forgetMark.run(site, unit, generation);
    }
  };
}
