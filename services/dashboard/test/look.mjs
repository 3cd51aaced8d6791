/**
 * Takes pictures of every screen at a desk and on a phone, and runs axe on each:
 * `node services/dashboard/test/look.mjs [folder]` after a build. Needs Debian's chromium.
 */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import axe from 'axe-core';
import { chromium } from 'playwright-core';
import { send, startFixture } from './fixture/server.mjs';

const folder = process.argv[2] ?? '/tmp/lineside-look';
mkdirSync(folder, { recursive: true });
const SIZES = {
  tablet: { width: 900, height: 1100 },
  narrow: { width: 320, height: 640 },
  desk: { width: 1440, height: 900 },
  phone: { width: 390, height: 844 },
};
const HOUR_MS = 3_600_000;
let faults = 0;

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: [
    '--no-sandbox',
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
  ],
});

async function look(name, address, options, act = async () => {}) {
  const server = await startFixture(options);
  for (const [size, viewport] of Object.entries(SIZES)) {
    const context = await browser.newContext({
      viewport,
      bypassCSP: true,
      hasTouch: size !== 'desk',
    });
    const page = await context.newPage();
    page.on('pageerror', (error) => note(`${name} ${size}: ${error.message}`));
    page.on(
      'console',
      (line) =>
        line.type() === 'error' &&
        !/status of 40[14]/.test(line.text()) &&
        note(`${name} ${size}: ${line.text()}`),
    );
    await page.goto(`http://127.0.0.1:${server.address().port}/${address}`);
    await page.waitForTimeout(1800);
    await act(page, server);
    await page.screenshot({ path: join(folder, `${name}-${size}.png`) });
    await page.screenshot({ path: join(folder, `${name}-${size}-full.png`), fullPage: true });
    await check(page, `${name} ${size}`, size);
    await context.close();
  }
  for (const stream of server.world.streams) stream.end();
  server.close();
}

function note(text) {
  faults += 1;
  console.log(text);
}

async function check(page, label, size) {
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  if (wide > 0) note(`${label}: ${wide} px too wide`);
  if (size !== 'desk') for (const small of await smallTargets(page)) note(`${label}: ${small}`);
  await page.addScriptTag({ content: axe.source });
  const { violations } = await page.evaluate(() => globalThis.axe.run());
  for (const { id, impact, nodes } of violations) {
    note(
      `${label}: axe ${impact} ${id}: ${nodes
        .slice(0, 3)
        .map(({ html }) => html.slice(0, 120))
        .join(' | ')}`,
    );
  }
}

/** Buttons, fields and summaries below 44 px; links within a sentence are exempt (WCAG 2.5.8). */
function smallTargets(page) {
  return page.evaluate(() =>
    [
      ...document.querySelectorAll(
        'button, input:not([type=checkbox], [type=radio]), select, summary, nav a',
      ),
    ]
      .filter((element) => element.checkVisibility())
      .map((element) => [element, element.getBoundingClientRect()])
      .filter(([, { height, width }]) => height < 43.5 || width < 43.5)
      .map(
        ([element, { height, width }]) =>
          `${element.tagName} ${element.textContent} ${width}x${height}`,
      ),
  );
}

const newAlarm = async (page, server) => {
  const alarm = { ...server.world.alarms[1], id: 'new', raised: new Date().toISOString() };
  send(server.world, 'alarm', alarm);
  await page.waitForTimeout(400);
};

const unfold = (page) =>
  page.evaluate(() => {
    for (const details of document.querySelectorAll('details')) details.open = true;
  });

await look('sign-in', '#/', { signedIn: false });
await look('welcome', '#/welcome/invented', { signedIn: false });
await look('welcome-used', '#/welcome/used', { signedIn: false }).catch(() => {});
await look('units', '#/', {});
await look('units-by-site', '#/?by=site', {}, newAlarm);
await look('units-1000', '#/', { count: 1000 });
await look('arriving', '#/', { behindMs: 900 * HOUR_MS }, (page) => page.waitForTimeout(4000));
await look('none', '#/', { count: 0 });
await look('alarms', '#/alarms', {}, unfold);
await look('on-call', '#/on-call', {});
await look('on-call-cover', '#/on-call', {}, (page) =>
  page.getByRole('button', { name: 'Arrange cover' }).click(),
);
await look('figures', '#/figures', {});
await look('unit-held', '#/unit/gulf-market/rtu-12', {}, unfold);
await look('unit-suppressed', '#/unit/gulf-market/rtu-08', {});
await look('unit', '#/unit/prairie-depot/rtu-02', {});
await look('unit-unfolded', '#/unit/harbour-mall/rtu-01?last=6w', {}, async (page) => {
  await unfold(page);
  await page.getByRole('button', { name: 'Add what was done' }).click();
  await page.getByLabel('What was done').selectOption('fuses-replaced');
});
await look('unit-7d', '#/unit/gulf-market/rtu-04?last=7d', {}, async (page) => {
  await page.getByRole('slider').fill('220');
});
await look('unit-bare', '#/unit/gulf-market/rtu-24', {});
await look('lost', '#/', {}, async (page) => {
  await page.context().setOffline(true);
  await page.waitForTimeout(500);
});
await browser.close();
console.log(`pictures in ${folder}, ${faults} faults`);
process.exitCode = faults === 0 ? 0 : 1;
