import { actOnAlarm } from '@lineside/alarms';
import { describe, expect, it } from 'vitest';
import { alarmOf, RAISED_MS, raiseOf } from './support/alarm.ts';
import { openHouse, START_MS } from './support/house.ts';

interface Row {
  readonly scope: string;
  readonly name: string;
  readonly figure: string;
  readonly value: number | null;
  readonly target: { readonly source: string } | null;
}

async function houseWithAlarms() {
  const house = await openHouse();
  const alarms = [
    alarmOf('a'),
    alarmOf('b', { unit: 'rtu-02', raisedAtMs: START_MS - 60_000 }),
    alarmOf('m', { site: 'mill' }),
    alarmOf('last-year', { kind: 'moisture', raisedAtMs: RAISED_MS - 60 * 86_400_000 }),
  ];
  await house.records.changeAlarms(alarms.map((alarm) => ({ entry: raiseOf(alarm) })));
  const answered = actOnAlarm(alarms[0]!, { type: 'acknowledge' }, atMinute(12));
  if (!answered.ok || answered.entry === null) throw new Error('not acknowledged');
  await house.records.changeAlarms([{ entry: answered.entry }]);
  const rows = async (who: 'office' | 'viewer', query = ''): Promise<readonly Row[]> =>
    (await house.call(who, 'GET', `/api/alarm-figures${query}`)).json().items;
  return { house, rows };
}

function atMinute(minute: number) {
  return { atMs: RAISED_MS + minute * 60_000, by: 'rosa' };
}

function rowOf(rows: readonly Row[], scope: string, name: string, figure: string) {
  return rows.find((row) => row.scope === scope && row.name === name && row.figure === figure);
}

describe('figures of the alarm system', () => {
  it('come from the journal, with what is published beside them', async () => {
    const { rows } = await houseWithAlarms();
    const found = await rows('office');
    expect(rowOf(found, 'fleet', '', 'alarms')).toMatchObject({ value: 3, target: null });
    expect(rowOf(found, 'site', 'harbour', 'alarms')?.value).toBe(2);
    expect(rowOf(found, 'site', 'mill', 'alarms')?.value).toBe(1);
    const perDay = rowOf(found, 'fleet', '', 'alarms per day, mean');
    expect(perDay).toMatchObject({ value: 0.1, target: { kind: 'at-most' } });
    const answered = rowOf(found, 'fleet', '', 'urgent time to acknowledge, median');
    expect(answered?.value).toBe(12);
    expect(rowOf(found, 'fleet', '', 'stale')?.value).toBe(3);
    expect(found.filter(({ scope }) => scope === 'position')).toEqual([]);
  });

  it('are taken of the time that was asked for', async () => {
    const { rows } = await houseWithAlarms();
    const day = '?from=2026-01-10T00:00:00Z&to=2026-01-11T00:00:00Z';
    expect(rowOf(await rows('office', day), 'fleet', '', 'alarms')?.value).toBe(2);
  });

  it('are those of the own sites for a viewer', async () => {
    const { rows } = await houseWithAlarms();
    const found = await rows('viewer');
    expect(rowOf(found, 'fleet', '', 'alarms')?.value).toBe(2);
    expect(found.some(({ name }) => name === 'mill')).toBe(false);
  });

  it('have a position for each team of the rota, and none when it cannot be read', async () => {
    const { house, rows } = await houseWithAlarms();
    house.records.rota = { generation: 1, document: ROTA };
    const found = await rows('office');
    expect(rowOf(found, 'position', 'Harbour crew', 'alarms')?.value).toBe(2);
    const ofViewer = await rows('viewer');
    expect(rowOf(ofViewer, 'position', 'Harbour crew', 'alarms')?.value).toBe(2);
    house.records.rota = { generation: 2, document: { teams: 'nonsense' } };
    expect((await rows('office')).some(({ scope }) => scope === 'position')).toBe(false);
    expect(house.log()).toContain('figures have no positions');
  });

  it('come as CSV with its own content type', async () => {
    const { house } = await houseWithAlarms();
    const response = await house.call('viewer', 'GET', '/api/alarm-figures.csv');
    expect(response.statusCode).toBe(200);
    expect(response.headers['content-type']).toBe('text/csv; charset=utf-8; header=present');
    expect(response.headers['content-disposition']).toContain('alarm-figures.csv');
    const lines = response.body.split('\r\n');
    expect(lines[0]).toBe('scope,name,figure,value,unit,target,manageable,source');
    expect(lines).toContain('fleet,,alarms,2,alarms,,,');
    expect(lines.at(-1)).toBe('');
  });
});

const ROTA = {
  people: [{ id: 'ana', name: 'Ana Reyes', contacts: ['ana-phone'] }],
  office: { name: 'Front desk', contacts: ['office-desk'] },
  teams: [
    {
      id: 'harbour-crew',
      name: 'Harbour crew',
      zone: 'America/Halifax',
      sites: ['harbour'],
      first: [
        {
          from: '2026-01-05',
          handOver: { weekday: 'monday', time: '08:00' },
          people: ['ana'],
        },
      ],
    },
  ],
};
