/** Who is on call, in a real browser: the rota, a cover, a shelved alarm, pages on this device. */
import { createECDH, randomBytes } from 'node:crypto';
import { join } from 'node:path';
import { openRecordStore } from '@lineside/storage';
import type { MqttClient } from 'mqtt';
import type { Browser, BrowserContext, CDPSession, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { barriers, hasNoSidewaysScroll } from './barriers.ts';
import { enterFirst, noChromium, noteComplaints, openChromium, SIZES } from './chromium.ts';
import { currentRota } from './current-rota.ts';
import { type Installation, install } from './installation.ts';
import { minutePack } from './packs.ts';

const MINUTE_MS = 60_000;
/** A look-up of a name may take a while before it fails. */
const WITHIN = { timeout: 20_000, interval: 250 };
const TELEMETRY = 'lineside/harbour-mall/rtu-01/telemetry';

describe.skipIf(noChromium !== null)('who is on call, in Chromium', () => {
  let here: Installation;
  let browser: Browser;
  let context: BrowserContext;
  let page: Page;
  let node: MqttClient;
  const complaints: string[] = [];
  const nowMs = Math.floor(Date.now() / MINUTE_MS) * MINUTE_MS;
  const folder = process.env['LINESIDE_PICTURES'];
  /** For looking at the pages by hand: LINESIDE_PICTURES names a folder. */
  const picture = async (from: Page, name: string): Promise<void> => {
    if (folder !== undefined) {
      await from.screenshot({ path: join(folder, `${name}.png`), fullPage: true });
    }
  };

  beforeAll(async () => {
    here = await install(undefined, { LINESIDE_VAPID_SUBJECT: 'mailto:office@example.net' });
    const records = await openRecordStore({ file: join(here.place.data, 'records.db') });
    const stored = await records.loadRota();
    await records.saveRota(currentRota(nowMs), stored?.generation ?? 0);
    await records.close();
    node = await here.node('harbour-mall', 'rtu-01');
    await node.publishAsync(TELEMETRY, minutePack(nowMs - 240 * MINUTE_MS, 225, 1.2), { qos: 1 });
    await node.publishAsync(TELEMETRY, minutePack(nowMs - 15 * MINUTE_MS, 10, 14), { qos: 1 });
    browser = await openChromium();
    context = await browser.newContext({ viewport: SIZES.desk });
    page = await context.newPage();
    noteComplaints(page, complaints);
    await enterFirst(page, here.server);
  });
  afterAll(async () => {
    await browser.close();
    await here.dispose();
  });

  it('is said on the first screen, gaps too', async () => {
    const line = page.getByText(/^On call now:/);
    await line.waitFor();
    // Each Monday hands over, so on a Monday it may be either.
    expect(await line.textContent()).toMatch(/(Ben Okafor|Cyd Larsen) \(North crew\) until Mon/);
    expect(await line.textContent()).toContain('nobody for Hill crew');
    await picture(page, 'on-call-front');
  });

  it('is shown with who is next, six weeks ahead, and what is worth a look', async () => {
    await page.getByRole('link', { name: 'On call', exact: true }).click();
    await page.getByRole('heading', { name: 'The coming six weeks' }).waitFor();
    await page.getByText('Covers Harbour Mall').waitFor();
    await page
      .getByText(/then (Cyd Larsen|Dov Peretz)/)
      .first()
      .waitFor();
    await page
      .getByText(/nobody has the first call/)
      .first()
      .waitFor();
    expect(await page.locator('.shift').count()).toBeGreaterThan(12);
    expect(await barriers(page)).toEqual([]);
    await picture(page, 'on-call-desk');
  });

  it('changes by a cover, which is shown before it is arranged', async () => {
    await page.getByRole('button', { name: 'Arrange cover' }).click();
    const shift = page.getByLabel('Whose shift');
    const own = await shift.locator('option', { hasText: /^Dov Peretz, first call/ }).first();
    await shift.selectOption(await own.getAttribute('value'));
    await page.getByLabel('Who takes it').selectOption({ label: 'Ben Okafor' });
    await page.getByRole('button', { name: 'Show what it changes' }).click();
    await page.getByText('Nothing is changed yet. It would be so:').waitFor();
    await page.getByText(/Ben Okafor has the first call .* instead of Dov Peretz/).waitFor();
    expect(await barriers(page)).toEqual([]);
    await picture(page, 'on-call-cover');
    const { generation } = await here.get<{ generation: number }>('/api/on-call/rota');
    await page.getByRole('button', { name: 'Arrange it' }).click();
    await page.getByText('The cover is arranged.').waitFor();
    await page.getByText(/^Ben Okafor covers Dov Peretz on the first call from/).waitFor();
    const after = await here.get<{ generation: number }>('/api/on-call/rota');
    expect(after.generation).toBe(generation + 1);
  });

  it('is back as it was when the cover is called off', async () => {
    await page.getByRole('button', { name: /^Call it off: Ben Okafor covers/ }).click();
    await page.getByRole('button', { name: /^Yes, call it off: Ben Okafor covers/ }).click();
    await page.getByText('It is called off.').waitFor();
    await page.getByText('No cover and no swap is arranged.').waitFor();
  });

  it('is in a calendar that needs no sign-in, until its address is taken back', async () => {
    await page.getByRole('button', { name: 'Make a calendar address' }).click();
    const address = await page.locator('code.line', { hasText: '.ics' }).textContent();
    const calendar = await fetch(address!);
    expect(calendar.headers.get('content-type')).toMatch(/^text\/calendar/);
    expect(await calendar.text()).toContain('SUMMARY:First call: Ben Okafor (North crew)');
    await page.getByRole('button', { name: 'Take the address back' }).click();
    await page.getByText('The address is taken back').waitFor();
    expect((await fetch(address!)).status).toBe(404);
  });

  it('does not move a button away from under the hand while it is read', async () => {
    await page.route('**/api/on-call/shifts', async (route) => {
      await new Promise((resolve) => setTimeout(resolve, 500));
      await route.continue();
    });
    await page.reload();
    await page.getByText('Reading who is on call…').waitFor({ state: 'hidden' });
    const button = page.getByRole('button', { name: 'Make a calendar address' });
    await button.waitFor();
    const first = await button.boundingBox();
    await page.getByRole('heading', { name: 'The coming six weeks' }).waitFor();
    await page.getByText('Pages that wait').waitFor();
    expect(await button.boundingBox()).toEqual(first);
    await page.unroute('**/api/on-call/shifts');
  });

  it('sends a test page to devices of the person, and says whether it gets through', async () => {
    const key = createECDH('prime256v1').generateKeys('base64url');
    const subscription = {
      endpoint: 'https://push.invalid/ada',
      keys: { p256dh: key, auth: randomBytes(16).toString('base64url') },
    };
    const status = await page.evaluate(async (given) => {
      const session = await (await fetch('/api/session')).json();
      const answer = await fetch('/api/contact-points/mine', {
        method: 'POST',
        headers: { 'content-type': 'application/json', 'x-csrf-token': session.csrfToken },
        body: JSON.stringify({ name: 'Phone of Ada', subscription: given }),
      });
      return answer.status;
    }, subscription);
    expect(status).toBe(201);
    await page.reload();
    await page.getByRole('button', { name: 'Send me a test page' }).click();
    await page.getByText('is on its way to Phone of Ada (push)').waitFor();
    // No name server knows that place, so the page waits and the screen will say so.
    await expect
      .poll(async () => {
        const { waiting, failure } = await here.get<{
          waiting: { messages: number };
          failure: { channel: string; givenUp: boolean } | null;
        }>('/api/alerting');
        return { waiting: waiting.messages, failure };
      }, WITHIN)
      .toMatchObject({ waiting: 1, failure: { channel: 'web-push', givenUp: false } });
    await page.reload();
    await page.getByText('Tried again (push)').waitFor();
    await picture(page, 'on-call-tried');
    await page.getByRole('button', { name: 'Page it no longer: Phone of Ada' }).click();
    await page.getByText('Nothing pages you yet.').waitFor();
  });

  it('and its alarms can be shelved with a reason, and taken off the shelf', async () => {
    await page.getByRole('link', { name: /^Alarms/ }).click();
    const alarm = page.locator('.alarm', { hasText: 'Leakage to ground 14 mA' });
    await alarm.waitFor();
    await alarm.getByText('Add a note, hand on, shelve').click();
    await picture(page, 'alarm-actions-desk');
    expect(await barriers(page)).toEqual([]);
    await alarm.getByLabel('Because').fill('Visit is planned');
    await alarm.getByRole('button', { name: /^Shelve it: Leakage/ }).click();
    await alarm.getByText(/Shelved by ada until .* because: Visit is planned/).waitFor();
    await alarm.getByText('What happened to it, and who did it').click();
    await alarm.getByText('Shelved by ada: Visit is planned').waitFor();
    await picture(page, 'alarm-shelved-desk');
    await alarm.getByRole('button', { name: /^Take it off the shelf/ }).click();
    await alarm.getByText('Not acknowledged yet').waitFor();
    await alarm.getByText('Add a note, hand on, shelve').click();
    await alarm.getByLabel(/^Note for the journal/).fill('On my way');
    await alarm.getByRole('button', { name: 'Acknowledge with this note' }).click();
    await alarm
      .getByText(/Acknowledged by ada/)
      .first()
      .waitFor();
    await alarm.getByText('Acknowledged by ada: On my way').waitFor();
  });

  it('reads well on a phone', async () => {
    const phone = await browser.newContext({ viewport: SIZES.phone, hasTouch: true });
    await phone.addCookies(await context.cookies());
    const small = await phone.newPage();
    await small.goto(`${here.server.http}/#/on-call`);
    await small.getByRole('heading', { name: 'The coming six weeks' }).waitFor();
    expect(await hasNoSidewaysScroll(small)).toBe(true);
    expect(await barriers(small)).toEqual([]);
    await picture(small, 'on-call-phone');
    await small.getByRole('button', { name: 'Arrange cover' }).click();
    await small.getByRole('button', { name: 'Show what it changes' }).click();
    await small.getByText('Nothing is changed yet').waitFor();
    expect(await hasNoSidewaysScroll(small)).toBe(true);
    await picture(small, 'on-call-cover-phone');
    await small.goto(`${here.server.http}/#/alarms`);
    await small.getByText('Shelve', { exact: true }).first().click();
    await picture(small, 'alarm-phone');
    expect(await hasNoSidewaysScroll(small)).toBe(true);
    await small.goto(`${here.server.http}/`);
    await small.getByText(/^On call now:/).waitFor();
    await picture(small, 'front-phone');
    await phone.close();
    expect(complaints).toEqual([]);
  });

  describe('a page pushed to this device', () => {
    let wire: CDPSession;
    let registrationId: string;

    beforeAll(async () => {
      await context.grantPermissions(['notifications'], { origin: here.server.http });
      await page.goto(`${here.server.http}/#/on-call`);
      wire = await context.newCDPSession(page);
      const known = new Promise<string>((resolve) => {
        wire.on('ServiceWorker.workerRegistrationUpdated', ({ registrations }) => {
          const [one] = registrations;
          if (one !== undefined) resolve(one.registrationId);
        });
      });
      await wire.send('ServiceWorker.enable');
      await page.evaluate(async () => {
        await navigator.serviceWorker.register('/sw.js');
        await navigator.serviceWorker.ready;
      });
      registrationId = await known;
    });

    const push = (message: object | string): Promise<unknown> => {
      const data = typeof message === 'string' ? message : JSON.stringify(message);
      const origin = here.server.http;
      return wire.send('ServiceWorker.deliverPushMessage', { origin, registrationId, data });
    };
    const shown = () =>
      page.evaluate(async () => {
        const all = await (await navigator.serviceWorker.ready).getNotifications();
        return all.map(({ title, body, tag }) => ({ title, body, tag }));
      });
    const PAGE = {
      ...{ title: 'Urgent: leakage, RTU-1, Harbour Mall', body: 'Since 03:10.', tag: 'p-1' },
      ...{ url: 'https://elsewhere.example/p/abc', renotify: true, requireInteraction: true },
      revision: 2,
    };

    it('is shown with title and body, and a newer revision takes its place', async () => {
      await push(PAGE);
      await expect.poll(shown).toEqual([{ title: PAGE.title, body: 'Since 03:10.', tag: 'p-1' }]);
      await push({ ...PAGE, body: 'Since 03:10, rising.', revision: 3 });
      await expect
        .poll(shown)
        .toEqual([{ title: PAGE.title, body: 'Since 03:10, rising.', tag: 'p-1' }]);
    });

    it('is not put back by an older revision that comes late', async () => {
      await push({ ...PAGE, body: 'Old words.', revision: 1 });
      await push({ ...PAGE, tag: 'p-2', body: 'Another page.' });
      await expect.poll(async () => (await shown()).length).toBe(2);
      const bodies = (await shown()).map(({ body }) => body).sort();
      expect(bodies).toEqual(['Another page.', 'Since 03:10, rising.']);
    });

    it('is never silent, also when it cannot be read', async () => {
      await push('not json');
      await expect
        .poll(async () => (await shown()).map(({ title }) => title))
        .toContain('Lineside pages you');
    });
  });
});
