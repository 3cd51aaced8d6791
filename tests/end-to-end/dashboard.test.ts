/**
 * The pages in a real browser: from the one-time link to an alarm that appears by itself, is
 * acknowledged, and is still there after the server was killed.
 */
import type { MqttClient } from 'mqtt';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { barriers, hasNoSidewaysScroll } from './barriers.ts';
import { enterFirst, noChromium, noteComplaints, openChromium, SIZES } from './chromium.ts';
import { type Installation, install } from './installation.ts';
import { minutePack } from './packs.ts';

const MINUTE_MS = 60_000;
const TELEMETRY = 'lineside/harbour-mall/rtu-01/telemetry';

describe.skipIf(noChromium !== null)('the dashboard in Chromium', () => {
  let here: Installation;
  let browser: Browser;
  let page: Page;
  let node: MqttClient;
  const complaints: string[] = [];
  const nowMs = Math.floor(Date.now() / MINUTE_MS) * MINUTE_MS;

  beforeAll(async () => {
    here = await install();
    node = await here.node('harbour-mall', 'rtu-01');
    await node.publishAsync(TELEMETRY, minutePack(nowMs - 240 * MINUTE_MS, 225, 1.2), { qos: 1 });
    browser = await openChromium();
    page = await browser.newPage({ viewport: SIZES.desk });
    noteComplaints(page, complaints);
  });
  afterAll(async () => {
    await browser.close();
    await here.dispose();
  });

  it('lets the first person in by the one-time link, once', async () => {
    const link = await enterFirst(page, here.server);

    const second = await browser.newPage();
    await second.goto(link);
    await second
      .getByText(/used|no longer|not valid|expired/i)
      .first()
      .waitFor();
    await second.close();
  });

  it('lists the fleet with what each unit does', async () => {
    await page.getByRole('link', { name: 'RTU-1, food court' }).waitFor();
    expect(await barriers(page)).toEqual([]);
  });

  it('shows an alarm without a reload when leakage steps over the limit', async () => {
    await page.evaluate(() => {
      (globalThis as unknown as { stillTheSamePage: boolean }).stillTheSamePage = true;
    });
    await node.publishAsync(TELEMETRY, minutePack(nowMs - 15 * MINUTE_MS, 10, 14), { qos: 1 });
    await page
      .getByText(/Leakage to ground 14 mA/)
      .first()
      .waitFor({ timeout: 10_000 });
    const same = await page.evaluate(
      () => (globalThis as unknown as { stillTheSamePage?: boolean }).stillTheSamePage,
    );
    expect(same).toBe(true);
  });

  it('shows the unit with its charts, its cautions, and takes the acknowledgement', async () => {
    await page
      .getByRole('heading', { name: /RTU-1, food court/ })
      .getByRole('link')
      .click();
    await page.locator('canvas').first().waitFor();
    expect(await page.locator('canvas').count()).toBeGreaterThanOrEqual(3);
    await page
      .getByText(/No reading of this tool proves absence of voltage/i)
      .first()
      .waitFor();
    expect(await barriers(page)).toEqual([]);
    await page.getByRole('button', { name: /^Acknowledge: Leakage/ }).click();
    await page
      .getByText(/Acknowledged by ada/)
      .first()
      .waitFor();
  });

  it('reads well on a phone', async () => {
    const phone = await browser.newPage({ viewport: SIZES.phone });
    await phone.context().addCookies(await page.context().cookies());
    for (const address of ['/', '/#/alarms', page.url().slice(page.url().indexOf('/#'))]) {
      await phone.goto(`${here.server.http}${address}`);
      await phone
        .getByText(/Leakage to ground 14 mA/)
        .first()
        .waitFor();
      expect(await hasNoSidewaysScroll(phone)).toBe(true);
      expect(await barriers(phone)).toEqual([]);
    }
    await phone.close();
  });

  it('still shows the acknowledged alarm after the server was killed', async () => {
    expect(complaints).toEqual([]);
    const cookies = await page.context().cookies();
    await here.restart('kill');
    // The port is a new one, the cookie holds for the host.
    const again = await browser.newPage({ viewport: SIZES.desk });
    await again.context().addCookies(cookies);
    await again.goto(`${here.server.http}/#/alarms`);
    await again
      .getByText(/Acknowledged by ada/)
      .first()
      .waitFor();
  });
});
