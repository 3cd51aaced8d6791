/** A real browser, Debian's Chromium, driven from here. */
import { existsSync } from 'node:fs';
import { type Browser, chromium, type Page } from 'playwright-core';
import type { ServerProcess } from './server-process.ts';

const PLACES = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];
const executable = PLACES.find((path) => existsSync(path));

/** Null when there is one; else why the browser tests are skipped. */
export const noChromium: string | null =
  executable === undefined ? 'Chromium is not installed (Debian: apt-get install chromium)' : null;

/** The two sizes that every page must work at. */
export const SIZES = {
  desk: { width: 1440, height: 900 },
  phone: { width: 390, height: 844 },
} as const;

export function openChromium(): Promise<Browser> {
  if (executable === undefined) throw new Error(noChromium ?? 'no browser');
  return chromium.launch({
    executablePath: executable,
    // No sandbox because CI runs as root; the rest keeps the browser from calling home.
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
}

/** Keeps what the page throws or logs as an error. */
export function noteComplaints(page: Page, complaints: string[]): void {
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    // Before sign-in the page asks who is there, and the answer 401 is not a mistake.
    if (message.type() === 'error' && !/status of 401/.test(message.text())) {
      complaints.push(message.text());
    }
  });
}

const PASSWORD = 'a long enough phrase';

/** Makes the first account, `ada`, by the one-time link, and waits for the first screen. */
export async function enterFirst(page: Page, server: ServerProcess): Promise<string> {
  const link = /(http\S+\/#\/welcome\/\S+)/.exec(server.stderr())?.[1];
  if (link === undefined) throw new Error('the server said no one-time link');
  await page.goto(link);
  await page.getByLabel('Your name, as colleagues read it').fill('Ada of the office');
  await page.getByLabel('Name to sign in with').fill('ada');
  await page.getByLabel('Password').fill(PASSWORD);
  await page.getByRole('button', { name: 'Start' }).click();
  await page.getByRole('heading', { name: 'Which units need somebody' }).waitFor();
  return link;
}
