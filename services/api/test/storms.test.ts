import type { QuartersQuery } from '@lineside/storage';
import { describe, expect, it } from 'vitest';
import { alarmOf, raiseOf } from './support/alarm.ts';
import { FLEET, unitNamed } from './support/fleet.ts';
import { type House, openHouse, START_MS } from './support/house.ts';
import { conditionAt } from './support/live.ts';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;

/** A house whose harbour has four units; `wet` puts water into some of them. */
async function harbour(options: Parameters<typeof openHouse>[0] = {}): Promise<House> {
  const house = await openHouse(options);
  const units = ['rtu-01', 'rtu-02', 'rtu-03', 'rtu-04'].map((id) => unitNamed('harbour', id));
  house.fleet = { ...FLEET, units: [...units, unitNamed('mill', 'rtu-01')] };
  return house;
}

function wet(house: House, site: string, unit: string, startMs: number, hours = 5): void {
  const episode = {
    startMs,
    peakMs: startMs + HOUR_MS,
    endMs: startMs + hours * HOUR_MS,
    source: 'water-ingress',
    wetHours: 3,
    evidence: { sourceProbability: 0.9 },
  } as const;
  house.records.episodeList.push({ site, unit, episode });
}

function wetThree(house: House, startMs: number, site = 'harbour'): void {
  for (const unit of ['rtu-01', 'rtu-02', 'rtu-03']) wet(house, site, unit, startMs);
}

const ids = (answer: { json(): { items: { id: string }[] } }): string[] =>
  answer.json().items.map(({ id }) => id);

describe('the list of storms', () => {
  it('is empty while there are none', async () => {
    const house = await harbour();
    expect((await house.call('office', 'GET', '/api/storms')).json()).toEqual({
      items: [],
      next: null,
    });
  });

  it('is newest first, pages without repeating, and takes a span and a site', async () => {
    const house = await harbour();
    for (const days of [2, 30, 75, 200]) wetThree(house, START_MS - days * DAY_MS);
    const all = ids(await house.call('office', 'GET', '/api/storms'));
    expect(all.map((id) => id.slice(0, 8))).toEqual([
      '20260113',
      '20251216',
      '20251101',
      '20250629',
    ]);
    const paged: string[] = [];
    let cursor = '';
    do {
      const page = await house.call('office', 'GET', `/api/storms?limit=1${cursor}`);
      paged.push(...ids(page));
      const { next } = page.json();
      cursor = next === null ? '' : `&cursor=${next}`;
    } while (cursor !== '');
    expect(paged).toEqual(all);
    const span = 'from=2025-10-01T00:00:00Z&to=2025-12-20T00:00:00Z';
    expect(ids(await house.call('office', 'GET', `/api/storms?${span}`))).toEqual(all.slice(1, 3));
    expect(ids(await house.call('office', 'GET', '/api/storms?site=harbour'))).toEqual(all);
    expect(ids(await house.call('office', 'GET', '/api/storms?site=mill'))).toEqual([]);
    const turned = '/api/storms?from=2026-01-02T00:00:00Z&to=2026-01-01T00:00:00Z';
    expect((await house.call('office', 'GET', turned)).statusCode).toBe(400);
    const ahead = await house.call('office', 'GET', '/api/storms?from=2099-01-01T00:00:00Z');
    expect(ahead.statusCode).toBe(400);
    expect(ahead.json().detail).toMatch(/^from must be before to/);
  });

  it('gives a storm whole when it is longer than the part that is asked for', async () => {
    const house = await harbour();
    for (let hours = 0; hours < 96; hours += 6) wetThree(house, START_MS - (120 - hours) * HOUR_MS);
    const from = new Date(START_MS - 100 * HOUR_MS).toISOString();
    const to = new Date(START_MS - 90 * HOUR_MS).toISOString();
    const [whole] = (await house.call('office', 'GET', '/api/storms')).json().items;
    const part = await house.call('office', 'GET', `/api/storms?from=${from}&to=${to}`);
    expect(part.json().items).toEqual([whole]);
  });

  it('tells a viewer nothing of the sites of others', async () => {
    const house = await harbour();
    house.fleet = {
      ...house.fleet,
      units: [1, 2, 3].map((unit) => unitNamed('mill', `rtu-0${unit}`)),
    };
    wetThree(house, START_MS - DAY_MS, 'mill');
    const [id] = ids(await house.call('office', 'GET', '/api/storms'));
    expect(id).toBe('20260114T1200Z-mill');
    expect(ids(await house.call('viewer', 'GET', '/api/storms'))).toEqual([]);
    expect(ids(await house.call('viewer', 'GET', '/api/storms?site=mill'))).toEqual([]);
    for (const url of [`/api/storms/${id}`, `/api/storms/${id}.csv`]) {
      expect((await house.call('office', 'GET', url)).statusCode).toBe(200);
      expect((await house.call('viewer', 'GET', url)).statusCode).toBe(404);
      expect((await house.call(null, 'GET', url)).statusCode).toBe(401);
    }
  });
});

describe('one storm', () => {
  const startMs = START_MS - 2 * DAY_MS;

  it('has units in order of harm, with leakage, alarms, service and weather', async () => {
    const asked: QuartersQuery[] = [];
    const unit = { site: 'harbour', unit: 'rtu-02' };
    const house = await harbour({
      telemetry: {
        rangeJson: async () => new Uint8Array(),
        extremes: async ({ fromMs }) => {
          const leak =
            fromMs === startMs - HOUR_MS
              ? { min: 0.001, max: 0.0142 }
              : { min: 0.0008, max: 0.002 };
          return [{ ...unit, channels: { leak } }];
        },
        quarters: async (queries) => {
          asked.push(...queries);
          const column = (value: number) => Float64Array.of(value);
          const at = { site: 'harbour', unit: 'weather', startMs: column(startMs - HOUR_MS) };
          const one = { ...at, min: column(1), max: column(1), sum: column(11) };
          return [
            { ...one, channel: 'rain' },
            { ...one, channel: 't' },
          ];
        },
      },
    });
    wetThree(house, startMs);
    house.live.conditions.set('harbour/rtu-03', conditionAt(START_MS));
    const alarm = alarmOf('a', {
      unit: 'rtu-03',
      priority: 'urgent',
      raisedAtMs: startMs + HOUR_MS,
      acknowledgedAtMs: startMs + 1.5 * HOUR_MS,
      acknowledgedBy: 'ada',
    });
    await house.records.changeAlarms([{ entry: raiseOf(alarm) }]);
    await house.records.addServiceRecord({
      id: 's1',
      site: 'harbour',
      unit: 'rtu-01',
      atMs: startMs + 4 * HOUR_MS,
      action: 'fuses-replaced',
      body: { action: 'fuses-replaced', phases: ['a', 'c'] },
      recordedAtMs: START_MS,
      recordedBy: 'ada',
    });
    const [id] = ids(await house.call('office', 'GET', '/api/storms'));
    const storm = (await house.call('office', 'GET', `/api/storms/${id}`)).json();
    expect(asked[0]).toMatchObject({ site: 'harbour', unit: 'weather' });
    expect(storm.name).toBe('Rain, Harbour Mall');
    expect(storm.weather).toMatchObject({ rainMillimetres: 11, lowestCelsius: 1 });
    expect(storm.units.map((one: { unit: string }) => one.unit)).toEqual([
      'rtu-01',
      'rtu-03',
      'rtu-02',
    ]);
    const [first, second, third] = storm.units;
    expect(first.fuses).toEqual({ replaced: 2, phases: ['a', 'c'], suspected: false });
    expect(first.visit.turn).toBe('first');
    expect(first.visit.bring[0]).toBe('Gasket');
    expect(second).toMatchObject({ minutesToAcknowledge: 30, highestPriority: 'urgent' });
    expect(third.peakMilliamps).toBeCloseTo(14.2);
    expect(third.excessMilliamps).toBeCloseTo(13.4);
    expect(third.usualBasis).toBe('lowest-of-three-days-before');
    expect(storm.timeline.lines.map((line: { kind: string }) => line.kind)).toEqual(
      expect.arrayContaining(['wet', 'dry', 'alarm', 'acknowledged', 'service']),
    );
    expect(storm.weatherHours.hours).toHaveLength(1);
  });

  it('is CSV too, a line a unit, for spreadsheets', async () => {
    const house = await harbour();
    const units = house.fleet.units.map((one) => ({ ...one, name: '=HYPERLINK("x")' }));
    house.fleet = { ...house.fleet, units };
    wetThree(house, startMs);
    const [id] = ids(await house.call('office', 'GET', '/api/storms'));
    const response = await house.call('office', 'GET', `/api/storms/${id}.csv`);
    expect(response.headers['content-type']).toBe('text/csv; charset=utf-8; header=present');
    expect(response.headers['content-disposition']).toBe(`attachment; filename="storm-${id}.csv"`);
    const lines = response.body.split('\r\n');
    expect(lines).toHaveLength(5);
    expect(lines[1]).toContain(`1,harbour,rtu-01,"'=HYPERLINK(""x"")",water-ingress,`);
  });

  it('is still found by the id that it had before late data came', async () => {
    const house = await harbour();
    wetThree(house, startMs);
    const [id] = ids(await house.call('office', 'GET', '/api/storms'));
    wet(house, 'harbour', 'rtu-04', startMs - 5 * HOUR_MS);
    const storm = (await house.call('office', 'GET', `/api/storms/${id}`)).json();
    expect(storm.id).not.toBe(id);
    expect(storm.touchedUnits).toBe(4);
    expect(ids(await house.call('office', 'GET', '/api/storms'))).toEqual([storm.id]);
  });

  it.each(['x', '20260113T1200Z-nowhere', '20250113T1200Z-harbour', '20260113T1207Z-harbour'])(
    'with the id %s is 404',
    async (id) => {
      const house = await harbour();
      wetThree(house, startMs);
      expect((await house.call('office', 'GET', `/api/storms/${id}`)).statusCode).toBe(404);
      expect((await house.call('office', 'GET', `/api/storms/${id}.csv`)).statusCode).toBe(404);
    },
  );
});
