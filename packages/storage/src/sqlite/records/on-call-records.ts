import type { Database } from 'better-sqlite3';
import type { ContactPoint, OnCallRecords, StoredRota } from '../../ports/on-call-records.ts';
import { StoreError } from '../../ports/store-error.ts';
import { toJson } from './json-column.ts';
import type { Synchronous } from './synchronous.ts';

interface RotaRow {
  readonly generation: number;
  readonly document: string;
}

interface ContactRow {
  readonly id: string;
  readonly person: string | null;
  readonly channel: ContactPoint['channel'];
  readonly name: string;
  readonly address: string;
  readonly created_at_ms: number;
  readonly origin: ContactPoint['origin'];
}

type RotaPart = Pick<Synchronous<OnCallRecords>, 'loadRota' | 'saveRota'>;

export function onCallRecords(db: Database): Synchronous<OnCallRecords> {
  const all = db.prepare<[], ContactRow>('SELECT * FROM contact_points ORDER BY id');
  const set = db.prepare<[ContactRow]>(
    `INSERT INTO contact_points (id, person, channel, name, address, created_at_ms, origin)
     VALUES (@id, @person, @channel, @name, @address, @created_at_ms, @origin)
     ON CONFLICT (id) DO UPDATE SET
       person = excluded.person, channel = excluded.channel, name = excluded.name,
       address = excluded.address, created_at_ms = excluded.created_at_ms,
       origin = excluded.origin`,
  );
  const remove = db.prepare<[string]>('DELETE FROM contact_points WHERE id = ?');
  return {
    ...rotaRecords(db),
    contactPoints: () => all.all().map(contactOf),
    setContactPoint: (contact) => {
      set.run(rowOf(contact));
    },
    removeContactPoint: (id) => {
      remove.run(id);
    },
    secretOr: secretReader(db),
  };
}

function rotaRecords(db: Database): RotaPart {
  const load = db.prepare<[], RotaRow>('SELECT generation, document FROM rota');
  const put = db.prepare<[number, string]>(
    `INSERT INTO rota (id, generation, document) VALUES (1, ?, ?)
     ON CONFLICT (id) DO UPDATE SET
       generation = excluded.generation, document = excluded.document`,
  );
  const save = db.transaction((document: unknown, basedOn: number) => {
    const stored = load.get()?.generation ?? 0;
    if (stored !== basedOn) {
      const message =
        `The rota is at generation ${stored}, this one was based on ${basedOn}: ` +
        'load it again and make the change anew';
      throw new StoreError('STORE_CONFLICT', message);
    }
    put.run(stored + 1, toJson('The rota', document));
  });
  return {
    loadRota: (): StoredRota | null => {
      const row = load.get();
      if (row === undefined) return null;
      return { generation: row.generation, document: JSON.parse(row.document) };
    },
    saveRota: (document, basedOn) => save.immediate(document, basedOn),
  };
}

function secretReader(db: Database): Synchronous<OnCallRecords>['secretOr'] {
  const read = db
    .prepare<[string], string>('SELECT secret FROM house_secrets WHERE name = ?')
    .pluck();
  const keep = db.prepare<[string, string]>(
    'INSERT INTO house_secrets (name, secret) VALUES (?, ?) ON CONFLICT (name) DO NOTHING',
  );
  return (name, fallback) => {
    const known = read.get(name);
    if (known !== undefined) return known;
    keep.run(name, fallback);
    // Another program may have kept its own meanwhile.
    return read.get(name) ?? fallback;
  };
}

function rowOf(contact: ContactPoint): ContactRow {
  return {
    id: contact.id,
    person: contact.person,
    channel: contact.channel,
    name: contact.name,
    address: toJson('The address of a contact point', contact.address),
    created_at_ms: contact.createdAtMs,
    origin: contact.origin,
  };
}

function contactOf(row: ContactRow): ContactPoint {
  return {
    id: row.id,
    person: row.person,
    channel: row.channel,
    name: row.name,
    address: JSON.parse(row.address),
    createdAtMs: row.created_at_ms,
    origin: row.origin,
  };
}
