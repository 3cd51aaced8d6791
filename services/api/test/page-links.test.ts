import { describe, expect, it } from 'vitest';
import { alarmOf } from './support/alarm.ts';
import { type House, START_MS } from './support/house.ts';
import { Device, housePaging, LINK, linkOf } from './support/page-link.ts';

const DAY_MS = 86_400_000;
const at = (ms: number): string => new Date(ms).toISOString();

/** What a press could have changed. */
const kept = ({ records }: House): string =>
  JSON.stringify([[...records.alarmsById], records.journal, [...records.pageLinks]]);

describe('reading a page', () => {
  it('tells what, where, since when, why, what to bring and how to get there', async () => {
    const house = await housePaging();
    const page = (await new Device(house).read()).json();
    expect(page).toMatchObject({
      for: 'Ana Reyes',
      buttons: 'free',
      sites: [{ site: 'harbour', name: 'Harbour Mall', timezone: 'America/Halifax', standing: 1 }],
      alarms: [
        {
          id: 'one',
          unitName: 'Unit rtu-01',
          priority: 'urgent',
          since: '2026-01-10T04:00:00Z',
          headline: 'Leakage to ground 14 mA, rising, line side',
        },
      ],
      details: [
        {
          id: 'one',
          access: 'Ladder C',
          fuses: { class: 'RK5', amps: 50 },
          volts: 600,
          causes: [{ cause: 'line-side-track-to-ground', probability: 0.86 }],
          journal: [{ event: 'raise', by: 'watch' }],
        },
      ],
    });
    expect(page.details[0].checks.length).toBeGreaterThan(0);
    expect(page.details[0].bring.join(' ')).toContain('class RK5, 50 A');
    expect(page.details[0].cautions.join(' ')).toContain('No reading proves absence of voltage');
  });

  it('needs no sign-in, is kept by no cache and by no search engine', async () => {
    const response = await new Device(await housePaging()).read();
    expect(response.statusCode).toBe(200);
    expect(response.headers).toMatchObject({
      'cache-control': 'no-store',
      'referrer-policy': 'no-referrer',
      'x-robots-tag': 'noindex, nofollow',
    });
  });

  it('changes nothing, however often and from wherever it is done', async () => {
    const house = await housePaging();
    const before = kept(house);
    for (const device of [new Device(house), new Device(house)]) {
      for (const rest of ['', '/alarms/one', '/chart/one']) {
        expect((await device.read(`/api/pages/${LINK}${rest}`)).statusCode).toBe(200);
      }
    }
    expect(kept(house)).toBe(before);
  });

  it('gives the device a secret that no script and no other path gets', async () => {
    const [cookie] = (await new Device(await housePaging()).read()).cookies;
    expect(cookie).toMatchObject({
      name: 'lineside-page',
      path: '/api/pages',
      httpOnly: true,
      sameSite: 'Strict',
    });
    expect(cookie?.secure).toBeUndefined();
    const options = { publicUrl: 'https://lineside.example' };
    const safe = (await new Device(await housePaging(undefined, options)).read()).cookies[0];
    expect(safe).toMatchObject({ name: '__Secure-lineside-page', secure: true });
  });

  it('puts the worst first, tells three in full and lists no more than 300', async () => {
    const many = Array.from({ length: 310 }, (_, index) =>
      alarmOf(`a${index}`, { unit: `u${index}`, priority: index === 200 ? 'emergency' : 'urgent' }),
    );
    const over = { state: 'normal', standing: false, clearedAtMs: START_MS } as const;
    const house = await housePaging([alarmOf('over', { ...over, priority: 'emergency' }), ...many]);
    const page = (await new Device(house).read()).json();
    const ids = page.alarms.map(({ id }: { id: string }) => id);
    expect(ids.slice(0, 3)).toEqual(['a200', 'a0', 'a1']);
    expect(ids).toHaveLength(300);
    expect(page.more).toBe(11);
    expect(page.details.map(({ id }: { id: string }) => id)).toEqual(['a200', 'a0', 'a1']);
    const one = await new Device(house).read(`/api/pages/${LINK}/alarms/a309`);
    expect(one.json()).toMatchObject({ id: 'a309', journal: [{ event: 'raise' }] });
  });

  it('says what keeps people off the roofs of a site', async () => {
    const pages = {
      readLink: () => 'link-of-ana',
      roofDanger: (site: string) => (site === 'mill' ? ('ice' as const) : null),
    };
    const house = await housePaging([alarmOf('m', { site: 'mill' }), alarmOf('h')], { pages });
    const { sites } = (await new Device(house).read()).json();
    expect(sites).toMatchObject([
      { site: 'mill', roofDanger: 'ice' },
      { site: 'harbour', roofDanger: null },
    ]);
  });

  it('draws a week of what the alarm is about, in few points and few digits', async () => {
    const house = await housePaging([alarmOf('wet', { kind: 'moisture' }), alarmOf('one')]);
    const chart = (await new Device(house).read(`/api/pages/${LINK}/chart/one`)).json();
    expect(chart).toMatchObject({
      from: at(START_MS - 7 * DAY_MS).replace('.000', ''),
      lines: [{ channel: 'leak', unit: 'A', points: [[0, 0.0019, 0.0019, 0.0019]] }],
      limits: [{ channel: 'leak' }],
    });
    await new Device(house).read(`/api/pages/${LINK}/chart/wet`);
    expect(house.asked).toMatchObject([
      { channels: ['leak', 'rh'], points: 168, toMs: START_MS },
      { channels: ['rh', 'leak'] },
    ]);
  });
});

describe('an address that is no page', () => {
  it('is answered the same whether its signature is wrong, it is unknown, or it is over', async () => {
    const house = await housePaging();
    house.records.pageLinks.set('old', linkOf('old', ['one'], { expiresAtMs: START_MS }));
    const answers = [];
    for (const address of [
      'link-of-ana.theirs',
      'nobody.ours',
      'old.ours',
      '%00',
      'x'.repeat(90),
    ]) {
      for (const rest of ['', '/alarms/one', '/chart/one']) {
        const response = await house.app.inject({ url: `/api/pages/${address}${rest}` });
        answers.push([response.statusCode, response.json().detail, response.cookies.length]);
      }
      const press = { method: 'POST', payload: { alarm: 'one' } } as const;
      const url = `/api/pages/${address}/acknowledge`;
      const response = await house.app.inject({ ...press, url });
      answers.push([response.statusCode, response.json().detail, response.cookies.length]);
    }
    expect(new Set(answers.map((answer) => JSON.stringify(answer)))).toEqual(
      new Set([JSON.stringify([404, 'This page is over, or its address is not whole.', 0])]),
    );
    expect(house.log()).toBe('');
  });

  it('is tried a hundred times and no more in a short while', async () => {
    const house = await housePaging();
    const statuses = [];
    for (let tries = 0; tries < 110; tries += 1) {
      statuses.push((await house.app.inject({ url: `/api/pages/${tries}.ours` })).statusCode);
    }
    expect(statuses.filter((status) => status === 404)).toHaveLength(100);
    expect(statuses.at(-1)).toBe(429);
  });

  it('ends at the moment that the link says, for buttons too', async () => {
    const house = await housePaging();
    const device = new Device(house);
    house.nowMs = START_MS + DAY_MS - 1;
    expect((await device.read()).statusCode).toBe(200);
    house.nowMs += 1;
    expect((await device.read()).statusCode).toBe(404);
    expect((await device.press('acknowledge', { alarm: 'one' })).statusCode).toBe(404);
    expect(house.records.alarmsById.get('one')?.state).toBe('unacknowledged');
  });

  it('shows no alarm of other pages', async () => {
    const house = await housePaging();
    house.records.alarmsById.set('other', alarmOf('other', { unit: 'rtu-02' }));
    const device = new Device(house);
    for (const path of ['alarms/other', 'chart/other', 'chart/none']) {
      expect((await device.read(`/api/pages/${LINK}/${path}`)).statusCode).toBe(404);
    }
    const before = kept(house);
    expect((await device.press('acknowledge', { alarm: 'other' })).statusCode).toBe(404);
    expect(kept(house)).toBe(before);
  });
});

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

it('no secret of link or device is in the log when a store fails', async () => {
  const failing = () => ({
    alarm: async () => {
      throw new Error('the disk is gone');
    },
  });
  const house = await housePaging([alarmOf('one')], {
    pages: { readLink: () => 'link-of-ana', roofDanger: () => null },
    records: failing,
  });
  const device = new Device(house);
  const [cookie] = (await device.read()).cookies;
  expect(cookie?.value).toHaveLength(43);
  await device.press('acknowledge', { alarm: 'one' });
  expect(house.log()).toContain('the disk is gone');
  expect(house.log()).not.toContain(LINK);
  expect(house.log()).not.toContain(cookie?.value ?? 'no cookie');
});
