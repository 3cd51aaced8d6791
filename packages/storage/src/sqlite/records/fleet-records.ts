import type { Database } from 'better-sqlite3';
import type { FleetRecords } from '../../ports/record-store.ts';
import { toJson } from './json-column.ts';
import type { Synchronous } from './synchronous.ts';

export function fleetRecords(db: Database): Synchronous<FleetRecords> {
  const load = db.prepare<[], string>('SELECT document FROM fleet_document').pluck();
  const save = db.prepare<[string]>(
    `INSERT INTO fleet_document (id, document) VALUES (1, ?)
     ON CONFLICT (id) DO UPDATE SET document = excluded.document`,
  );
  return {
    loadFleet: (): unknown => {
      const document = load.get();
      return document === undefined ? null : JSON.parse(document);
    },
    saveFleet: (document) => {
      save.run(toJson('The fleet document', document));
    },
  };
}
