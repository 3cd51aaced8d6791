/** `npm run pictures`: makes the README's picture from the demonstration, once its history is in. */
import { spawn } from 'node:child_process';
import { join } from 'node:path';
import process from 'node:process';
import { chromium } from 'playwright-core';
import { ROOT } from './install.mjs';

const LONGEST_HISTORY_MS = 180_000;
const SETTLE_MS = 3_000;

const demo = spawn(process.execPath, [join(ROOT, 'services/lineside/bin/lineside.mjs'), 'demo'], {
  env: { ...process.env, LINESIDE_HTTP_PORT: '0', LINESIDE_MQTT_PORT: '0' },
  stdio: ['ignore', 'pipe', 'inherit'],
});
try {
  const said = await historySent();
  const address = /open {2,}(\S+)/.exec(said)[1];
  const [, username, password] = /sign in {2,}(\S+) \/ (\S+)/.exec(said);
  await takePicture(address, username, password);
} finally {
  demo.kill('SIGINT');
}

function historySent() {
  return new Promise((resolve, reject) => {
    let said = '';
    const timer = setTimeout(
      () => reject(new Error('the history took too long')),
      LONGEST_HISTORY_MS,
    );
    demo.stdout.setEncoding('utf8').on('data', (text) => {
      said += text;
      if (!said.includes('live from now on')) return;
      clearTimeout(timer);
      resolve(said);
    });
  });
}

async function takePicture(address, username, password) {
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--disable-background-networking'],
  });
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  await page.goto(address);
  await page.getByLabel('Name').fill(username);
  await page.getByLabel('Password').fill(password);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByRole('heading', { name: 'Which units need somebody' }).waitFor();
  await page.waitForTimeout(SETTLE_MS);
  await page.screenshot({ path: join(ROOT, 'services/dashboard/pictures/fleet.png') });
  await browser.close();
}
