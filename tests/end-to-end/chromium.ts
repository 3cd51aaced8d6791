/** A real browser, Debian's Chromium, driven from here. */
import { existsSync } from 'node:fs';
import { type Browser, chromium } from 'playwright-core';

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
