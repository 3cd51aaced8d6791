import type { Alarm } from '@lineside/alarms';
import type { Database, Statement } from 'better-sqlite3';
import type { AlarmQuery, Page } from '../../ports/record-store.ts';
import { StoreError } from '../../ports/store-error.ts';
import { alarmFromJson, toJson } from './json-column.ts';
import { readPage } from './pages.ts';

interface AlarmRow {
  readonly id: string;
  readonly raised_at_ms: number;
  readonly alarm: string;
}

type AlarmStatement = Statement<[Readonly<Record<string, unknown>>], AlarmRow>;

/** Lists alarms by the filters of `AlarmQuery`. */
export function alarmList(db: Database): (query: AlarmQuery) => Page<Alarm> {
  // Filters are few, so all their combinations together are a hundred statements at most.
  const statements = new Map<string, AlarmStatement>();
  const statementFor = (where: string): AlarmStatement => {
    const known = statements.get(where);
    if (known !== undefined) return known;
    const made: AlarmStatement = db.prepare(
      `SELECT id, raised_at_ms, alarm FROM alarms
       WHERE (raised_at_ms, id) < (@beforeKey, @beforeId)${where}
       ORDER BY raised_at_ms DESC, id DESC LIMIT @rows`,
    );
    statements.set(where, made);
    return made;
  };
  return (query) => {
    const { where, values } = filtersOf(query);
    return readPage(
      'alarms',
      query,
      (parameters) => statementFor(where).all({ ...values, ...parameters }),
      (row) => alarmFromJson(row.alarm),
      (row) => ({ key: row.raised_at_ms, id: row.id }),
    );
  };
}

interface Filters {
  readonly where: string;
  readonly values: Readonly<Record<string, unknown>>;
}

function filtersOf(query: AlarmQuery): Filters {
  const { state, sites, unit, kind, fromMs, toMs, withdrawn = false } = query;
  const parts: readonly (readonly [boolean, string])[] = [
    [state !== undefined, stateFilter(state)],
    [sites !== undefined, 'site IN (SELECT value FROM json_each(@sites))'],
    [unit !== undefined, 'unit = @unit'],
    [kind !== undefined, 'kind = @kind'],
    [!withdrawn, 'withdrawn = 0'],
    [toMs !== undefined, 'raised_at_ms < @toMs'],
    [fromMs !== undefined, '(cleared_at_ms IS NULL OR cleared_at_ms > @fromMs)'],
  ];
  const where = parts.map(([isGiven, sql]) => (isGiven ? ` AND ${sql}` : '')).join('');
  const sitesJson = sites === undefined ? null : toJson('sites', sites);
  return { where, values: { sites: sitesJson, unit, kind, fromMs, toMs } };
}

function stateFilter(state: AlarmQuery['state']): string {
  if (state === undefined) return '';
  if (state === 'standing') return 'standing = 1';
  if (state === 'open') return 'open = 1';
  throw new StoreError('STORE_BAD_INPUT', `state must be standing or open, it is ${state}`);
}
