import { describe, expect, it } from 'vitest';
import { alarmOf, raiseOf } from './support/alarm.ts';
import { openHouse } from './support/house.ts';

async function houseWith(...alarms: readonly ReturnType<typeof alarmOf>[]) {
  const house = await openHouse();
  await house.records.changeAlarms(alarms.map((alarm) => ({ entry: raiseOf(alarm) })));
  const act = (verb: string, body?: object) =>
    house.call('technician', 'POST', `/api/alarms/a/${verb}`, body);
  return { house, act };
}

describe('an answer to an alarm', () => {
  it('may say something for the journal', async () => {
    const { house, act } = await houseWith(alarmOf('a'));
    const response = await act('acknowledge', { note: ' on my way ' });
    expect(response.json()).toMatchObject({ state: 'acknowledged' });
    expect(house.records.journal.at(-1)).toMatchObject({ event: 'acknowledge', note: 'on my way' });
  });

  it.each([undefined, {}, { note: '' }])('needs no words: %j', async (body) => {
    const { house, act } = await houseWith(alarmOf('a'));
    expect((await act('acknowledge', body)).statusCode).toBe(200);
    expect(house.records.journal.at(-1)).toMatchObject({ event: 'acknowledge', note: null });
  });

  it('with too many words is 400', async () => {
    const { house, act } = await houseWith(alarmOf('a'));
    for (const note of ['x'.repeat(501), 7]) {
      const response = await act('acknowledge', { note } as object);
      expect(response.statusCode).toBe(400);
      expect(response.json().errors).toEqual([expect.objectContaining({ path: 'note' })]);
    }
    expect(house.records.journal).toHaveLength(1);
  });

  it('hands it on while it asks, and is 409 afterwards', async () => {
    const { house, act } = await houseWith(alarmOf('a'));
    const handedOn = await act('hand-on', { note: 'at the other site' });
    expect(handedOn.json()).toMatchObject({ state: 'unacknowledged', acknowledged: null });
    expect(house.records.journal.at(-1)).toMatchObject({
      event: 'hand-on',
      by: expect.stringMatching(/^token /),
      note: 'at the other site',
    });
    expect(house.live.journalHints).toBe(1);
    await act('acknowledge');
    const late = await act('hand-on');
    expect(late.statusCode).toBe(409);
    expect(late.json().detail).toBe('The alarm is acknowledged: it asks nobody.');
  });
});

describe("an alarm's journal", () => {
  it('says what happened, who did it and why, newest first, page by page', async () => {
    const { house, act } = await houseWith(alarmOf('a'), alarmOf('b', { unit: 'rtu-02' }));
    await act('hand-on', { note: 'not me' });
    await act('acknowledge', { note: 'on my way' });
    const url = '/api/alarms/a/journal';
    const { items, next } = (await house.call('viewer', 'GET', `${url}?limit=2`)).json();
    expect(items).toMatchObject([
      {
        ...{ event: 'acknowledge', from: 'unacknowledged', to: 'acknowledged' },
        ...{ note: 'on my way', time: '2026-01-15T12:00:00Z', priority: 'urgent', standing: true },
      },
      { event: 'hand-on', note: 'not me' },
    ]);
    expect(items[0].by).toBe(items[1].by);
    const rest = (await house.call('viewer', 'GET', `${url}?limit=2&cursor=${next}`)).json();
    expect(rest).toMatchObject({
      items: [
        { event: 'raise', from: null, by: 'watch', note: null, time: '2026-01-10T04:00:00Z' },
      ],
      next: null,
    });
    const bad = await house.call('viewer', 'GET', `${url}?cursor=x`);
    expect(bad.statusCode).toBe(400);
  });

  it('of other sites is not for a viewer', async () => {
    const { house } = await houseWith(alarmOf('m', { site: 'mill' }));
    const foreign = await house.call('viewer', 'GET', '/api/alarms/m/journal');
    const unknown = await house.call('viewer', 'GET', '/api/alarms/none/journal');
    expect(foreign.statusCode).toBe(404);
    expect(foreign.json()).toEqual(unknown.json());
    expect((await house.call('office', 'GET', '/api/alarms/m/journal')).statusCode).toBe(200);
  });
});
