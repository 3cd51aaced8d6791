/** What people do with a unit and its alarms, in a real browser: holds, verdicts, the figures. */
import { join } from 'node:path';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { barriers, hasNoSidewaysScroll } from './barriers.ts';
import { enterFirst, noChromium, noteComplaints, openChromium, SIZES } from './chromium.ts';
import { eventually } from './eventually.ts';
import { type Installation, install } from './installation.ts';
import { minutePack } from './packs.ts';

const MINUTE_MS = 60_000;
const UNIT = '/api/units/harbour-mall/rtu-01';

interface AlarmList {
  readonly items: readonly { readonly id: string; readonly state: string }[];
}

describe.skipIf(noChromium !== null)('the life of an alarm, in Chromium', () => {
  let here: Installation;
  let browser: Browser;
  let context: BrowserContext;
  let page: Page;
  const complaints: string[] = [];
  const nowMs = Math.floor(Date.now() / MINUTE_MS) * MINUTE_MS;
  const folder = process.env['LINESIDE_PICTURES'];
  /** For looking at the pages by hand: LINESIDE_PICTURES names a folder. */
  const picture = async (from: Page, name: string): Promise<void> => {
    if (folder !== undefined) {
      await from.screenshot({ path: join(folder, `${name}.png`), fullPage: true });
    }
  };
  const leak = async (unit: string, agoMinutes: number, minutes: number, milliamps: number) => {
    const pack = minutePack(nowMs - agoMinutes * MINUTE_MS, minutes, milliamps);
    const node = await here.node('harbour-mall', unit);
    await node.publishAsync(`lineside/harbour-mall/${unit}/telemetry`, pack, { qos: 1 });
  };
  const alarmsOf = (unit: string) =>
    here.get<AlarmList>(`/api/alarms?site=harbour-mall&unit=${unit}`);

  beforeAll(async () => {
    here = await install();
    // One alarm that is over, and one that stands.
    await leak('rtu-01', 300, 120, 1.2);
    await leak('rtu-01', 180, 60, 14);
    await leak('rtu-01', 120, 115, 1.2);
    await leak('rtu-02', 240, 225, 1.2);
    await leak('rtu-02', 15, 10, 14);
    const { items } = await eventually(
      () => alarmsOf('rtu-01'),
      (list) => list.items[0]?.state === 'returned-unacknowledged',
    );
    await here.post(`/api/alarms/${items[0]?.id}/acknowledge`, { note: 'gone by itself' });
    browser = await openChromium();
    context = await browser.newContext({ viewport: SIZES.desk });
    page = await context.newPage();
    noteComplaints(page, complaints);
    await enterFirst(page, here.server);
  }, 60_000);
  afterAll(async () => {
    await browser.close();
    await here.dispose();
  });

  it('has an alarm that is over in the past of its unit, and takes what was found', async () => {
    await page.getByRole('link', { name: 'RTU-1, food court' }).click();
    const past = page.locator('.past-alarm');
    await past.getByText('Nobody has said yet whether it was true.').waitFor();
    await past.getByText('Was it true?').click();
    await past.getByLabel('True: what it said was there').check();
    await past.getByLabel('What was found there').fill('Track at L2, wet gasket');
    await past
      .getByLabel('Cause as found')
      .selectOption({ label: 'Water getting into the compartment' });
    expect(await barriers(page)).toEqual([]);
    await picture(page, 'verdict-desk');
    await past.getByRole('button', { name: /^Record what was found/ }).click();
    await past
      .getByText(/^True: Track at L2, wet gasket\. Cause as found: water getting/)
      .waitFor();
    const { items } = await alarmsOf('rtu-01');
    const kept = await here.get<{ items: unknown[] }>(`/api/alarms/${items[0]?.id}/verdicts`);
    expect(kept.items).toMatchObject([
      { verdict: 'true', found: 'Track at L2, wet gasket', cause: 'water-ingress', by: 'ada' },
    ]);
    await past.getByText('What happened to it, and who did it').click();
    await past.getByText(/^Acknowledged by .*: gone by itself$/).waitFor();
  });

  it('is put under maintenance by whoever answers for it, and the list says so', async () => {
    await page.getByRole('button', { name: 'Start maintenance, or take it out' }).click();
    await page.getByLabel('Because').fill('Contactor is being changed');
    expect(await page.getByLabel('Who answers for it').inputValue()).toBe('Ada of the office');
    expect(await barriers(page)).toEqual([]);
    await picture(page, 'hold-form-desk');
    await page.getByRole('button', { name: 'Start it now' }).click();
    const hold = page.getByRole('region', { name: 'Hold of this unit' });
    await hold.getByText('Because: Contactor is being changed').waitFor();
    expect(await hold.textContent()).toMatch(
      /^Under maintenance until today .* Ada of the office answers for it\./,
    );
    expect((await here.get<{ hold: unknown }>(UNIT)).hold).toMatchObject({ kind: 'maintenance' });
    await picture(page, 'hold-desk');
    await page.getByRole('link', { name: 'Units', exact: true }).first().click();
    await page.getByText(/^Under maintenance until today/).waitFor();
    await picture(page, 'hold-list-desk');
  });

  it('is set aside with a unit that is out of service, with the reason beside it', async () => {
    const until = new Date(nowMs + 26 * 60 * MINUTE_MS).toISOString();
    const body = {
      kind: 'out-of-service',
      owner: 'Rosa Lindqvist',
      reason: 'No compressor',
      until,
    };
    await here.post('/api/units/harbour-mall/rtu-02/holds', body);
    await page.goto(`${here.server.http}/#/alarms`);
    await page.reload();
    await page.getByText('Out of service with its unit').waitFor();
    await page.getByText(/^Set aside with the unit until .*because: No compressor$/).waitFor();
    await picture(page, 'out-of-service-list-desk');
    await page.getByRole('link', { name: 'rtu-02' }).click();
    await page.getByText('Rosa Lindqvist answers for it').waitFor();
    await page.getByText('Was it true?').click();
    await page.getByLabel('False: it was not there').check();
    await page.getByRole('button', { name: /^Record what was found/ }).click();
    await page.getByText('It is recorded.').waitFor();
    expect(await barriers(page)).toEqual([]);
    await picture(page, 'out-of-service-desk');
    await page.getByRole('button', { name: 'End it now' }).click();
    await page.getByRole('button', { name: 'Yes, its alarms may page again' }).click();
    await page.getByRole('button', { name: 'Start maintenance, or take it out' }).waitFor();
    await page.getByText('Not acknowledged yet').waitFor();
  });

  it('is counted in the figures, beside what is published and how often it was right', async () => {
    await page.getByRole('link', { name: 'Figures' }).click();
    await page.getByRole('heading', { name: 'Raised most often' }).waitFor();
    const perDay = page.getByRole('row', { name: /^alarms per day, mean/ });
    expect(await perDay.textContent()).toContain('at most 144, manageable up to 288: meets it');
    const leakage = page.getByRole('row', { name: /^leakage/ });
    await leakage.waitFor();
    expect(await leakage.textContent()).toMatch(/50.%, likely between 9.% and 91.%/);
    expect(await barriers(page)).toEqual([]);
    await picture(page, 'figures-desk');
    const csv = await page.getByRole('link', { name: 'All of it as CSV' }).getAttribute('href');
    const answer = await context.request.get(`${here.server.http}${csv}`);
    expect(await answer.text()).toMatch(/^scope,name,figure,value,unit,target/);
    await page.getByRole('button', { name: '7 days' }).click();
    await page.getByRole('button', { name: '7 days', pressed: true }).waitFor();
    expect(page.url()).toMatch(/#\/figures\?days=7$/);
    expect(complaints).toEqual([]);
  });

  it('reads well on a phone', async () => {
    const phone = await browser.newContext({ viewport: SIZES.phone, hasTouch: true });
    await phone.addCookies(await context.cookies());
    const small = await phone.newPage();
    for (const [address, words, name] of [
      ['#/figures', 'Raised most often', 'figures-phone'],
      ['#/unit/harbour-mall/rtu-01', 'Because: Contactor is being changed', 'hold-phone'],
      ['#/alarms', 'Standing now', 'alarms-phone'],
    ] as const) {
      await small.goto(`${here.server.http}/${address}`);
      await small.getByText(words).waitFor();
      if (address === '#/alarms') await small.getByText('Was it true?').first().click();
      if (name === 'hold-phone') await small.locator('.past-alarm .findings').waitFor();
      await picture(small, name);
      expect(await hasNoSidewaysScroll(small)).toBe(true);
      expect(await barriers(small)).toEqual([]);
    }
    await phone.close();
  });
});
