import { deflateSync } from 'node:zlib';
import type { Database } from 'better-sqlite3';
import type { UnitRef, WatchSnapshot } from '../../ports/record-store.ts';
import { toJson } from './json-column.ts';
import { outdatedSnapshots } from './snapshot-times.ts';

/** Writes snapshots and thins those of their units. For use within a transaction. */
export function snapshotWriter(db: Database): (snapshots: readonly WatchSnapshot[]) => void {
  const put = db.prepare<[string, string, number, Buffer]>(
    `INSERT INTO watch_snapshots (site, unit, through_ms, deflated_state) VALUES (?, ?, ?, ?)
     ON CONFLICT (site, unit, through_ms) DO UPDATE SET deflated_state = excluded.deflated_state`,
  );
  const times = snapshotTimes(db);
  const drop = db.prepare<[string, string, number]>(
    'DELETE FROM watch_snapshots WHERE site = ? AND unit = ? AND through_ms = ?',
  );
  return (snapshots) => {
    for (const { site, unit, throughMs, state } of snapshots) {
      put.run(site, unit, throughMs, deflateSync(toJson('The state of a watch', state)));
    }
    for (const { site, unit } of snapshots) {
      for (const timeMs of outdatedSnapshots(times({ site, unit }))) drop.run(site, unit, timeMs);
    }
  };
}

/** Times of a unit's snapshots, oldest first. */
export function snapshotTimes(db: Database): (ref: UnitRef) => readonly number[] {
  const times = db
    .prepare<[string, string], number>(
      'SELECT through_ms FROM watch_snapshots WHERE site = ? AND unit = ? ORDER BY through_ms',
    )
    .pluck();
  return ({ site, unit }) => times.all(site, unit);
}
