/**
 * What somebody opens from a message at night: read without a password, answered with one press,
 * on a phone and over a bad connection.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hasNoSidewaysScroll } from './barriers.ts';
import { noChromium, openChromium, SIZES } from './chromium.ts';
import { openPagedHouse, type PagedHouse } from './paged-house.ts';

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');
const MOST_BYTES = 60_000;

interface AxeResult {
  readonly violations: readonly {
    readonly id: string;
    readonly nodes: readonly { readonly html: string }[];
  }[];
}

async function barriers(page: Page): Promise<string[]> {
  await page.evaluate(readFileSync(AXE, 'utf8'));
  return page.evaluate(async () => {
    const axe = (globalThis as unknown as { axe: { run(): Promise<AxeResult> } }).axe;
    const { violations } = await axe.run();
    return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`);
  });
}

/** What went over the wire, header fields included. */
async function countBytes(page: Page): Promise<() => number> {
  const session = await page.context().newCDPSession(page);
  await session.send('Network.enable');
  let bytes = 0;
  session.on('Network.loadingFinished', ({ encodedDataLength }) => {
    bytes += encodedDataLength;
  });
  return () => bytes;
}

const smallButtons = (page: Page) =>
  page.evaluate(() =>
    [...document.querySelectorAll('button, summary, footer a, input, label.choice')]
      .filter((element) => element.getClientRects().length > 0)
      .filter((element) => !element.matches('label.choice input'))
      .filter((element) => element.getBoundingClientRect().height < 48)
      .map((element) => element.outerHTML.slice(0, 80)),
  );

describe.skipIf(noChromium !== null)('the page behind a link', () => {
  let house: PagedHouse;
  let browser: Browser;
  const complaints: string[] = [];

  async function phone(more: object = {}): Promise<{ context: BrowserContext; page: Page }> {
    const context = await browser.newContext({ viewport: SIZES.phone, hasTouch: true, ...more });
    const page = await context.newPage();
    page.setDefaultTimeout(10_000);
    page.on('pageerror', (error) => complaints.push(error.message));
    page.on('console', (line) => {
      if (line.type() === 'error' && !/status of (404|409)|ERR_INTERNET/.test(line.text())) {
        complaints.push(line.text());
      }
    });
    return { context, page };
  }

  beforeAll(async () => {
    house = await openPagedHouse(17);
    browser = await openChromium();
  });
  afterAll(async () => {
    await browser?.close();
    await house?.dispose();
  });

  it('opens without a password and tells all in one first view below 60 kB', async () => {
    const { context, page } = await phone();
    const bytes = await countBytes(page);
    await page.goto(`${house.server.http}${house.links.one}`);
    await page.getByRole('heading', { name: /RTU-1, food court/ }).waitFor();
    await page.getByRole('img', { name: /^Leakage to ground/ }).waitFor();
    for (const words of [
      /High wind at Harbour Mall\./,
      /Nobody goes onto a roof in this\. Make safe from the upstream disconnect/,
      /Leakage to ground 14 mA/,
      /^Since today|^Since \d/,
      /^Probably: |^Cause not determined/,
      /Ladder C, hatch key at security/,
      /fuses class RK5, 50 A/,
      /No reading of this tool proves absence of voltage/,
    ]) {
      expect(await page.getByText(words).count(), String(words)).toBeGreaterThan(0);
    }
    expect(bytes()).toBeGreaterThan(10_000);
    expect(bytes()).toBeLessThan(MOST_BYTES);
    expect(await barriers(page)).toEqual([]);
    expect(await smallButtons(page)).toEqual([]);
    expect(await hasNoSidewaysScroll(page)).toBe(true);
    await context.close();
  });

  it('is as clean in the dark, and does not push anybody onto a roof in high wind', async () => {
    const { context, page } = await phone({ colorScheme: 'dark' });
    await page.goto(`${house.server.http}${house.links.one}`);
    await page.getByRole('img', { name: /^Leakage to ground/ }).waitFor();
    const strongest = page.locator('.press.strong');
    expect(await strongest.allTextContents()).toEqual(['Acknowledge']);
    expect(await barriers(page)).toEqual([]);
    await context.close();
  });

  it('says what it can when scripts are not allowed', async () => {
    const { context, page } = await phone({ javaScriptEnabled: false });
    const answer = await page.goto(`${house.server.http}${house.links.one}`);
    expect(answer?.headers()).toMatchObject({
      'cache-control': 'no-store',
      'referrer-policy': 'no-referrer',
      'x-robots-tag': 'noindex, nofollow',
    });
    expect(await page.locator('noscript').textContent()).toMatch(/nobody goes onto a roof/);
    await context.close();
  });

  it('acknowledges with one press on my way, after one that did not go through', async () => {
    const { context, page } = await phone();
    const alarm = house.alarms.get('rtu-01')!;
    await page.goto(`${house.server.http}${house.links.one}`);
    const button = page.getByRole('button', { name: /^On my way/ });
    await button.waitFor();
    await context.setOffline(true);
    await button.click();
    await page.getByText('Not done: No connection to the server. Press again.').waitFor();
    expect((await house.alarm(alarm.id)).state).toBe('unacknowledged');
    await context.setOffline(false);
    await button.click();
    await page.getByText(/Acknowledged by Ana Reyes \(page\), today/).waitFor();
    await page.getByText('Acknowledged by Ana Reyes (page): on my way').waitFor();
    expect(await house.alarm(alarm.id)).toMatchObject({
      state: 'acknowledged',
      acknowledgedBy: 'Ana Reyes (page)',
    });
    await page.getByText('Put aside …').click();
    expect(await smallButtons(page)).toEqual([]);
    expect(await barriers(page)).toEqual([]);
    await context.close();
  });

  it('has its buttons on the device that answered, another one reads on', async () => {
    const { context, page } = await phone();
    await page.goto(`${house.server.http}${house.links.one}`);
    await page.getByText('Answered from another device.').waitFor();
    expect(await page.getByRole('button').count()).toBe(0);
    const status = await page.evaluate(
      async (path) => {
        const answer = await fetch(path, {
          method: 'POST',
          headers: { 'content-type': 'application/json' },
          body: JSON.stringify({ alarm: 'all' }),
        });
        return answer.status;
      },
      `/api${house.links.one.replace('/p/', '/pages/')}/acknowledge`,
    );
    expect(status).toBe(409);
    expect(await barriers(page)).toEqual([]);
    await context.close();
  });

  it('says that it is over, and no more, of a link that is over or not whole', async () => {
    const { context, page } = await phone();
    for (const link of [house.links.over, '/p/made-up.by-somebody']) {
      await page.goto(`${house.server.http}${link}`);
      await page.getByRole('heading', { name: 'This page is over' }).waitFor();
      expect(await barriers(page)).toEqual([]);
    }
    await context.close();
  });

  it('in a storm names the worst three, where to go first, and takes answers one by one', async () => {
    const { context, page } = await phone();
    const bytes = await countBytes(page);
    await page.goto(`${house.server.http}${house.links.storm}`);
    await page.getByRole('heading', { name: 'Where to go first' }).waitFor();
    expect(bytes()).toBeLessThan(MOST_BYTES);
    const worst = await page.locator('article h2').allTextContents();
    expect(worst).toHaveLength(3);
    expect(worst[0]).toContain('RTU-2, cinema');
    expect(await barriers(page)).toEqual([]);
    expect(await smallButtons(page)).toEqual([]);
    expect(await hasNoSidewaysScroll(page)).toBe(true);
    await page.locator('article').first().getByText('Readings, cause, what to bring').click();
    await page.getByRole('img', { name: /^Phase currents/ }).waitFor();
    await page.getByRole('button', { name: 'Hand on: RTU-2, cinema, phase lost' }).click();
    await page.getByText('Done: handed on.').waitFor();
    await page.getByRole('button', { name: /^Acknowledge all/ }).click();
    await page.getByText('All are answered.').waitFor();
    for (const { id } of house.alarms.values()) {
      expect((await house.alarm(id)).state).toBe('acknowledged');
    }
    await context.close();
  });

  it('in a storm is clean in the dark', async () => {
    const { context, page } = await phone({ colorScheme: 'dark' });
    await page.goto(`${house.server.http}${house.links.storm}`);
    await page.getByRole('heading', { name: 'Where to go first' }).waitFor();
    expect(await barriers(page)).toEqual([]);
    await context.close();
    expect(complaints).toEqual([]);
  });
});
