/** What a person waits for at the server: the chart of a season and the list of a large fleet. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { applyFleet, parseFleetFile, toFleet } from '@lineside/fleet';
import type { Reading } from '@lineside/readings';
import { openRecordStore, openTelemetryStore, type TelemetryStore } from '@lineside/storage';
import { benchApi, ROUNDS, timeRequests } from './bench-api.ts';

const DAYS = 90;
const MINUTE_MS = 60_000;
const MINUTES = DAYS * 24 * 60;
const UNITS_WITH_HISTORY = 5;
const LISTED_UNITS = 1_000;
const UNITS_A_SITE = 50;
const BATCH = 5_000;
const START_MS = Date.UTC(2026, 0, 5);

/** `npm run bench -- queries` */
export async function benchQueries(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'lineside-bench-'));
  const telemetry = await openTelemetryStore({ folder: join(folder, 'telemetry') });
  const records = await openRecordStore({ file: join(folder, 'records.db') });
  const fleet = toFleet(applyFleet(null, parseFleetFile(fleetText(), 'bench-fleet.yaml')));
  await fill(telemetry);
  const { api, token } = await benchApi({ telemetry, records, fleet, latest: reading(1, 0) });
  const query = new URLSearchParams({
    from: new Date(START_MS).toISOString(),
    to: new Date(START_MS + MINUTES * MINUTE_MS).toISOString(),
  });
  console.log(`\nmedian of ${ROUNDS} requests (goal 150 ms each)`);
  await timeRequests(
    api,
    token,
    `chart of ${DAYS} days`,
    `/api/units/site-1/rtu-1/telemetry?${query}`,
  );
  await timeRequests(
    api,
    token,
    `list of ${LISTED_UNITS} units`,
    `/api/units?limit=${LISTED_UNITS}`,
  );
  await api.close();
  await telemetry.close();
  await records.close();
  rmSync(folder, { recursive: true });
}

async function fill(telemetry: TelemetryStore): Promise<void> {
  const startedAt = performance.now();
  let batch: Reading[] = [];
  for (let minute = 0; minute < MINUTES; minute++) {
    for (let unit = 1; unit <= UNITS_WITH_HISTORY; unit++) batch.push(reading(unit, minute));
    if (batch.length >= BATCH) {
      await telemetry.append(batch);
      batch = [];
    }
  }
  await telemetry.append(batch);
  const rows = MINUTES * UNITS_WITH_HISTORY;
  const perSecond = rows / ((performance.now() - startedAt) / 1000);
  console.log(`\nstored ${rows} readings of eight channels, ${perSecond.toFixed(0)} readings/s`);
}

function reading(unit: number, minute: number): Reading {
  const wave = Math.sin(minute / 229 + unit);
  return {
    site: 'site-1',
    unit: `rtu-${unit}`,
    atMs: START_MS + minute * MINUTE_MS,
    channels: {
      rh: 60 + 20 * wave,
      t: 12 + 9 * wave,
      tp: 11 + 8 * wave,
      leak: 0.0012 + 0.0003 * wave,
      leakmax: 0.0016 + 0.0003 * wave,
      ia: 17 + wave,
      ib: 17.1 + wave,
      ic: 16.9 + wave,
    },
  };
}

function fleetText(): string {
  const sites = Array.from({ length: LISTED_UNITS / UNITS_A_SITE }, (_, site) => {
    const units = Array.from(
      { length: UNITS_A_SITE },
      (_, unit) => `      - { id: rtu-${unit + 1}, supply: { volts: 480 } }`,
    );
    return `  - id: site-${site + 1}\n    units:\n${units.join('\n')}`;
  });
  return `sites:\n${sites.join('\n')}\n`;
}
