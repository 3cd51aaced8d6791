import { describe, expect, it } from 'vitest';
import { alarmOf } from './support/alarm.ts';
import { START_MS } from './support/house.ts';
import { Device, housePaging, kept, LINK, linkOf } from './support/page-link.ts';

const DAY_MS = 86_400_000;
const at = (ms: number): string => new Date(ms).toISOString();

describe('pressing a button', () => {
  it('on my way acknowledges and says so under the name of whom the page was for', async () => {
    const house = await housePaging();
    const device = new Device(house);
    await device.read();
    const page = (await device.press('on-my-way', { alarm: 'one' })).json();
    expect(page).toMatchObject({
      buttons: 'this-device',
      refused: [],
      alarms: [{ state: 'acknowledged', acknowledgedBy: 'Ana Reyes (page)' }],
    });
    expect(house.records.journal.at(-1)).toMatchObject({
      event: 'acknowledge',
      by: 'Ana Reyes (page)',
      note: 'on my way',
    });
    expect(house.live.journalHints).toBe(1);
  });

  it('for a page to the office is journalled as the office', async () => {
    const house = await housePaging();
    house.records.pageLinks.set('link-of-ana', linkOf('link-of-ana', ['one'], { person: null }));
    await new Device(house).press('acknowledge', { alarm: 'one', note: 'seen' });
    expect(house.records.journal.at(-1)).toMatchObject({ by: 'Front desk (page)', note: 'seen' });
  });

  it('goes by the id of a person while there is no rota that can be read', async () => {
    const house = await housePaging();
    house.records.rota = { generation: 2, document: { people: 'none' } };
    const page = (await new Device(house).press('acknowledge', { alarm: 'one' })).json();
    expect(page).toMatchObject({ for: 'ana', alarms: [{ acknowledgedBy: 'ana (page)' }] });
  });

  it('hands on anew once the alarm has asked again', async () => {
    const house = await housePaging();
    const device = new Device(house);
    const handOn = { alarm: 'one' };
    await device.press('hand-on', handOn);
    const alarm = house.records.alarmsById.get('one')!;
    const risen = { ...alarm, priority: 'emergency', revision: alarm.revision + 1 } as const;
    const from = alarm.state;
    const by = { by: 'watch', note: null, event: 'escalate', atMs: START_MS } as const;
    await house.records.changeAlarms([{ entry: { ...by, from, to: from, alarm: risen } }]);
    await device.press('hand-on', handOn);
    expect(house.records.journal.map(({ event }) => event)).toEqual([
      'raise',
      'hand-on',
      'escalate',
      'hand-on',
    ]);
  });

  it('hands on anew what came back to the same person after a while', async () => {
    const house = await housePaging();
    const device = new Device(house);
    await device.press('hand-on', { alarm: 'one' });
    house.nowMs += 2 * 60_000 - 1;
    await device.press('hand-on', { alarm: 'one' });
    expect(house.records.journal).toHaveLength(2);
    house.nowMs += 1;
    await device.press('hand-on', { alarm: 'one' });
    expect(house.records.journal).toHaveLength(3);
  });

  it('may be pressed again after an answer that never came, and is written once', async () => {
    const house = await housePaging([alarmOf('one'), alarmOf('two', { unit: 'rtu-02' })]);
    const device = new Device(house);
    await device.read();
    const presses: [string, object][] = [
      ['hand-on', { alarm: 'two', note: 'at another site' }],
      ['on-my-way', { alarm: 'one' }],
      ['acknowledge', { alarm: 'one' }],
      ['shelve', { alarm: 'two', until: at(START_MS + DAY_MS), reason: 'parts come' }],
    ];
    for (const [action, body] of presses) {
      expect((await device.press(action, body)).statusCode, action).toBe(200);
      expect((await device.press(action, body)).statusCode, action).toBe(200);
    }
    const events = house.records.journal.slice(2).map(({ event, note }) => [event, note]);
    expect(events).toEqual([
      ['hand-on', 'at another site'],
      ['acknowledge', 'on my way'],
      ['shelve', 'parts come'],
    ]);
  });

  it('says on my way of what was acknowledged before, too', async () => {
    const house = await housePaging();
    const device = new Device(house);
    await device.press('acknowledge', { alarm: 'one' });
    await device.press('on-my-way', { alarm: 'one' });
    expect(house.records.journal.map(({ note }) => note)).toEqual([null, null, 'on my way']);
  });

  it('for all acts on those whose state allows it and names the others', async () => {
    const over = { state: 'normal', standing: false, clearedAtMs: START_MS } as const;
    const house = await housePaging([alarmOf('one'), alarmOf('two', { ...over, unit: 'rtu-02' })]);
    const page = (await new Device(house).press('acknowledge', { alarm: 'all' })).json();
    expect(page.alarms[0]).toMatchObject({ id: 'one', state: 'acknowledged' });
    expect(page.refused).toEqual([{ alarmId: 'two', reason: expect.stringMatching(/normal/) }]);
  });

  it('keeps the bounds of shelving', async () => {
    const house = await housePaging();
    const device = new Device(house);
    const faults: object[] = [
      { until: at(START_MS - 1), reason: 'late' },
      { until: at(START_MS + 31 * DAY_MS), reason: 'far' },
      { until: at(START_MS + DAY_MS), reason: ' ' },
      { until: 'tomorrow', reason: 'words' },
      { reason: 'no end' },
    ];
    for (const fault of faults) {
      const response = await device.press('shelve', { alarm: 'one', ...fault });
      expect(response.statusCode, JSON.stringify(fault)).toBe(400);
    }
    expect(house.records.journal).toHaveLength(1);
  });

  it('refuses in words what the state does not allow', async () => {
    const house = await housePaging();
    const device = new Device(house);
    await device.press('acknowledge', { alarm: 'one' });
    const response = await device.press('hand-on', { alarm: 'one' });
    expect(response.statusCode).toBe(409);
    expect(response.json().detail).toMatch(/acknowledged/);
  });
});

describe('whose the buttons are', () => {
  it('the first device that presses one has them, another one reads on and is told', async () => {
    const house = await housePaging();
    const [one, other] = [new Device(house), new Device(house)];
    await other.read();
    await one.read();
    expect((await one.press('acknowledge', { alarm: 'one' })).statusCode).toBe(200);
    const before = kept(house);
    for (const action of ['on-my-way', 'acknowledge', 'hand-on']) {
      const refused = await other.press(action, { alarm: 'one' });
      expect(refused.statusCode).toBe(409);
      expect(refused.json().detail).toMatch(/answered from another device/);
    }
    expect(kept(house)).toBe(before);
    expect((await other.read()).json().buttons).toBe('another-device');
    expect((await one.read()).json().buttons).toBe('this-device');
    expect((await one.press('on-my-way', { alarm: 'one' })).statusCode).toBe(200);
  });

  it('a device whose first answer was lost has them all the same', async () => {
    const house = await housePaging();
    const device = new Device(house);
    const [cookie] = (await device.read()).cookies;
    const headers = { cookie: `${cookie?.name}=${cookie?.value}` };
    const url = `/api/pages/${LINK}/acknowledge`;
    // Sent, and its answer never heard.
    await house.app.inject({ method: 'POST', url, headers, payload: { alarm: 'one' } });
    expect((await device.press('acknowledge', { alarm: 'one' })).statusCode).toBe(200);
  });

  it('a made-up secret is none, and the stored hash opens nothing', async () => {
    const house = await housePaging();
    await new Device(house).press('acknowledge', { alarm: 'one' });
    const hash = house.records.pageLinks.get('link-of-ana')?.deviceHash ?? '';
    expect(hash).toMatch(/^[0-9a-f]{64}$/);
    for (const secret of [hash, '', 'a'.repeat(43), '../../', `${hash}; x=1`]) {
      const response = await house.app.inject({
        method: 'POST',
        url: `/api/pages/${LINK}/on-my-way`,
        headers: { cookie: `lineside-page=${secret}` },
        payload: { alarm: 'one' },
      });
      expect(response.statusCode, secret).toBe(409);
    }
  });

  it('a press that cannot be read binds nothing', async () => {
    const house = await housePaging();
    const bodies: unknown[] = [
      {},
      [],
      null,
      'all',
      { alarm: 7 },
      { alarm: '' },
      { alarm: ['one'] },
    ];
    for (const payload of bodies) {
      const response = await house.app.inject({
        method: 'POST',
        url: `/api/pages/${LINK}/acknowledge`,
        headers: { 'content-type': 'application/json' },
        payload: JSON.stringify(payload),
      });
      expect(response.statusCode, JSON.stringify(payload)).toBe(400);
    }
    const long = await new Device(house).press('hand-on', { alarm: 'one', note: 'x'.repeat(501) });
    expect(long.statusCode).toBe(400);
    expect(house.records.pageLinks.get('link-of-ana')?.deviceHash).toBeNull();
  });

  it.each([
    ['another page', { origin: 'https://elsewhere.example' }, 403],
    ['a page without an origin', { origin: 'null' }, 403],
    ['a form', { 'content-type': 'application/x-www-form-urlencoded' }, 415],
    ['a form that pretends', { 'content-type': 'text/plain' }, 400],
  ])('%s cannot press it', async (_who, headers, status) => {
    const house = await housePaging();
    const before = kept(house);
    const response = await house.app.inject({
      method: 'POST',
      url: `/api/pages/${LINK}/acknowledge`,
      headers: { 'content-type': 'application/json', ...headers },
      payload: '{"alarm":"one"}',
    });
    expect(response.statusCode).toBe(status);
    expect(kept(house)).toBe(before);
  });

  it('no role is asked for, and none opens more than the link', async () => {
    const house = await housePaging();
    const viewed = await house.call('viewer', 'GET', `/api/pages/${LINK}`);
    expect(viewed.statusCode).toBe(200);
    const press = await house.call('viewer', 'POST', `/api/pages/${LINK}/acknowledge`, {
      alarm: 'one',
    });
    expect(press.json().alarms[0].acknowledgedBy).toBe('Ana Reyes (page)');
    const wrong = await house.call('office', 'GET', '/api/pages/link-of-ana.theirs');
    expect(wrong.statusCode).toBe(404);
  });
});
