import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Reading } from '@lineside/readings';
import { afterEach } from 'vitest';

const folders: string[] = [];

/** A folder that is removed after the test. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'telemetry-'));
  folders.push(folder);
  return folder;
}

afterEach(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});

export const MINUTE_MS = 60_000;
export const WEEK_MS: number = 7 * 24 * 60 * MINUTE_MS;
/** A Monday, 00:00 UTC. */
export const MONDAY_MS: number = Date.UTC(2026, 0, 5);
export const FIRST_FILE = 'telemetry-2026-01-05.db';

/** A reading a minute of each of `units` units; binary fractions, whose sums are exact. */
export function minutes(fromMs: number, count: number, units = 1): Reading[] {
  return Array.from({ length: count * units }, (_, n) => ({
    site: 'harbour-mall',
    unit: `rtu-${n % units}`,
    atMs: fromMs + Math.floor(n / units) * MINUTE_MS,
    channels: { rh: 50 + (n % 7), t: -3.5, leak: (n % 9) / 1024, ia: 17.25 },
  }));
}
