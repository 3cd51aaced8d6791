import type { Database } from 'better-sqlite3';
import {
  QUARANTINE_MOST_ENTRIES,
  type QuarantineEntry,
  type QuarantineRecords,
} from '../../ports/record-store.ts';
import { type PageParameters, readPage } from './pages.ts';
import type { Synchronous } from './synchronous.ts';

interface QuarantineRow {
  readonly sequence: number;
  readonly at_ms: number;
  readonly topic: string;
  readonly code: string;
  readonly reason: string;
  readonly payload: Buffer;
}

export function quarantineRecords(db: Database): Synchronous<QuarantineRecords> {
  const add = db.prepare<[QuarantineEntry]>(
    `INSERT INTO quarantine (at_ms, topic, code, reason, payload)
     VALUES (@atMs, @topic, @code, @reason, @payload)`,
  );
  // Sequences have no gaps but those of forgotten entries, so the bound needs no count.
  const trim = db.prepare<[number]>(
    'DELETE FROM quarantine WHERE sequence <= (SELECT max(sequence) FROM quarantine) - ?',
  );
  const page = db.prepare<[PageParameters], QuarantineRow>(
    `SELECT * FROM quarantine WHERE sequence < @beforeKey
     ORDER BY sequence DESC LIMIT @rows`,
  );
  const forget = db.prepare<[number]>('DELETE FROM quarantine WHERE at_ms < ?');
  const addAll = db.transaction((entries: readonly QuarantineEntry[]) => {
    for (const { atMs, topic, code, reason, payload } of entries) {
      add.run({ atMs, topic, code, reason, payload });
    }
    trim.run(QUARANTINE_MOST_ENTRIES);
  });
  return {
    quarantine: (entries) => addAll.immediate(entries),
    quarantined: (query) =>
      readPage(
        'quarantine',
        query,
        (parameters) => page.all(parameters),
        entryOf,
        ({ sequence }) => ({ key: sequence, id: '' }),
      ),
    forgetQuarantineBefore: (atMs) => {
      forget.run(atMs);
    },
  };
}

function entryOf(row: QuarantineRow): QuarantineEntry {
  const { topic, code, reason } = row;
  // A buffer of its own: a view into a shared pool would travel with the whole pool.
  return { atMs: row.at_ms, topic, code, reason, payload: Uint8Array.from(row.payload) };
}
