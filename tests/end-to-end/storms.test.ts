/**
 * A storm from the nodes to paper: readings of three units and an outdoor station over MQTT become
 * one storm that the API tells, and that the browser shows at a desk, on a phone and printed.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { enterFirst, noChromium, noteComplaints, openChromium, SIZES } from './chromium.ts';
import { eventually } from './eventually.ts';
import { type Installation, install } from './installation.ts';
import { minutePack } from './packs.ts';

const MINUTE_MS = 60_000;
const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');
const UNITS = ['rtu-01', 'rtu-02', 'rtu-03', 'rtu-04'];
const unitLine = (id: string): string =>
  `      - { id: ${id}, name: Roof ${id}, supply: { volts: 480 }, ` +
  'fuses: { class: RK5, amps: 50 } }';
const FLEET = `sites:
  - id: harbour-mall
    name: Harbour Mall
    units:
${UNITS.map(unitLine).join('\n')}
`;

/** Minutes of rain as an outdoor station sends them. */
function rainPack(fromMs: number, minutes: number): string {
  const records: unknown[] = [{ bn: 'urn:dev:ow:0a02:', bt: fromMs / 1000 }];
  for (let minute = 0; minute < minutes; minute++) {
    const t = minute * 60;
    records.push({ n: 'rain', u: 'mm', t, v: 0.3 }, { n: 't', u: 'Cel', t, v: 7 });
    records.push({ n: 'wind', u: 'm/s', t, v: 12 });
  }
  return JSON.stringify(records);
}

interface StormList {
  readonly items: readonly { readonly id: string; readonly touchedUnits: number }[];
}

interface StormAnswer {
  readonly name: string;
  readonly units: readonly {
    readonly unit: string;
    readonly peakMilliamps: number;
    readonly alarms: readonly { readonly kind: string }[];
    readonly visit: { readonly bring: readonly string[] };
  }[];
  readonly weather: { readonly rainMillimetres: number };
}

async function barriers(page: Page): Promise<string[]> {
  await page.evaluate(readFileSync(AXE, 'utf8'));
  return page.evaluate(async () => {
    const axe = (globalThis as unknown as { axe: { run(): Promise<AxeResult> } }).axe;
    const { violations } = await axe.run();
    return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`);
  });
}

interface AxeResult {
  readonly violations: readonly {
    readonly id: string;
    readonly nodes: readonly { readonly html: string }[];
  }[];
}

/** The storm after three of four units leaked in the rain, the second most. */
async function makeStorm(here: Installation): Promise<string> {
  const nowMs = Math.floor(Date.now() / MINUTE_MS) * MINUTE_MS;
  const station = await here.node('harbour-mall', 'weather');
  const rain = rainPack(nowMs - 120 * MINUTE_MS, 100);
  await station.publishAsync('lineside/harbour-mall/weather/telemetry', rain, { qos: 1 });
  for (const [place, unit] of UNITS.entries()) {
    const node = await here.node('harbour-mall', unit);
    const topic = `lineside/harbour-mall/${unit}/telemetry`;
    const leak = [13, 26, 14, 1.2][place] ?? 1.2;
    await node.publishAsync(topic, minutePack(nowMs - 240 * MINUTE_MS, 205, 1.2), { qos: 1 });
    await node.publishAsync(topic, minutePack(nowMs - 35 * MINUTE_MS, 30, leak), { qos: 1 });
  }
  const { items } = await eventually(
    () => here.get<StormList>('/api/storms'),
    (list) => list.items[0]?.touchedUnits === 3,
  );
  expect(items).toHaveLength(1);
  return items[0]?.id ?? '';
}

describe.skipIf(noChromium !== null)('a storm', () => {
  let here: Installation;
  let browser: Browser;
  let page: Page;
  let id: string;
  const complaints: string[] = [];

  beforeAll(async () => {
    here = await install(FLEET);
    id = await makeStorm(here);
    browser = await openChromium();
    page = await browser.newPage({ viewport: SIZES.desk });
    noteComplaints(page, complaints);
  });
  afterAll(async () => {
    await browser.close();
    await here.dispose();
  });

  it('is told by the API in order of harm, with weather and what to bring', async () => {
    const storm = await here.get<StormAnswer>(`/api/storms/${id}`);
    expect(storm.name).toBe('Rain and wind, Harbour Mall');
    expect(storm.weather.rainMillimetres).toBeCloseTo(30, 0);
    expect(storm.units).toHaveLength(3);
    const [worst] = storm.units;
    expect(worst?.unit).toBe('rtu-02');
    expect(worst?.peakMilliamps).toBeCloseTo(26, 5);
    expect(worst?.alarms.map(({ kind }) => kind)).toContain('leakage');
    expect(worst?.visit.bring).toContain('Fuses class RK5, 50 A, three plus three');
    const csv = await fetch(`${here.server.http}/api/storms/${id}.csv`, {
      headers: { authorization: `Bearer ${here.officeToken}` },
    });
    expect(csv.headers.get('content-type')).toMatch(/^text\/csv/);
    expect((await csv.text()).split('\r\n')[1]).toMatch(/^1,harbour-mall,rtu-02,Roof rtu-02,/);
  });

  it('is in the list of storms, and leads to the charts of its time', async () => {
    await enterFirst(page, here.server);
    await page.getByRole('link', { name: 'Storms' }).click();
    await page.getByRole('link', { name: 'Rain and wind, Harbour Mall' }).waitFor();
    expect(await barriers(page)).toEqual([]);
    await page.getByRole('link', { name: 'Rain and wind, Harbour Mall' }).click();
    await page
      .getByText(/3 units touched within 1 hour/)
      .first()
      .waitFor();
    const rows = page.locator('table.harm tbody tr');
    expect(await rows.count()).toBe(3);
    expect(await rows.first().textContent()).toMatch(/Roof rtu-02.*26\.0\smA/);
    expect(await page.locator('.course-alarm').count()).toBeGreaterThanOrEqual(3);
    expect(await page.locator('.course-rain').count()).toBeGreaterThan(0);
    expect(await barriers(page)).toEqual([]);
    const chart = await rows.first().getByRole('link').getAttribute('href');
    expect(chart).toMatch(/^#\/unit\/harbour-mall\/rtu-02\?from=.*&to=/);
  });

  it('fits a phone', async () => {
    const phone = await browser.newPage({ viewport: SIZES.phone });
    await phone.context().addCookies(await page.context().cookies());
    for (const address of ['/#/storms', `/#/storms/${id}`]) {
      await phone.goto(`${here.server.http}${address}`);
      await phone.getByText('Rain and wind, Harbour Mall').first().waitFor();
      const fits = await phone.evaluate(
        () => document.documentElement.scrollWidth <= window.innerWidth,
      );
      expect(fits).toBe(true);
      expect(await barriers(phone)).toEqual([]);
    }
    await phone.close();
  });

  it('prints without what can only be pressed, black on white', async () => {
    await page.emulateMedia({ media: 'print' });
    for (const part of ['nav', '.storm-tools', '.whoever', '.announcement']) {
      for (const one of await page.locator(part).all()) expect(await one.isVisible()).toBe(false);
    }
    const inks = await page.evaluate(() => {
      const style = (selector: string) => getComputedStyle(document.querySelector(selector)!);
      return [style('html').backgroundColor, style('h1').color, style('.course-alarm').fill];
    });
    expect(inks).toEqual(['rgb(255, 255, 255)', 'rgb(0, 0, 0)', 'rgb(0, 0, 0)']);
    const pdf = await page.pdf({ format: 'A4' });
    expect(pdf.subarray(0, 5).toString()).toBe('%PDF-');
    expect(complaints).toEqual([]);
  });
});
