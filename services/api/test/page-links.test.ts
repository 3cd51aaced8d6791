import { describe, expect, it } from 'vitest';
import { alarmOf } from './support/alarm.ts';
import { START_MS } from './support/house.ts';
import { Device, housePaging, kept, LINK, linkOf } from './support/page-link.ts';

const DAY_MS = 86_400_000;
const at = (ms: number): string => new Date(ms).toISOString();

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
    house.live.readings.set('harbour/rtu-01', {
      ...{ site: 'harbour', unit: 'rtu-01', atMs: START_MS - 60_000 },
      channels: { leak: 0.0141234, rh: 81 },
    });
    const chart = (await new Device(house).read(`/api/pages/${LINK}/chart/one`)).json();
    const newest = [START_MS - 60_000, 0.0141, 0.0141, 0.0141];
    expect(chart).toMatchObject({
      from: at(START_MS - 7 * DAY_MS).replace('.000', ''),
      lines: [{ channel: 'leak', unit: 'A', points: [[0, 0.0019, 0.0019, 0.0019], newest] }],
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
