/** `lineside store` on SQLite and on a real InfluxDB. */
import { existsSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Reading } from '@lineside/readings';
import { openInfluxStore, openTelemetryStore } from '@lineside/storage';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { HAS_INFLUXD, type InfluxServer, startInfluxServer } from '../contracts/influx-server.ts';
import { lineside, temporaryPlace } from './server-process.ts';

const DAY_MS = 86_400_000;
const MINUTE_MS = 60_000;

function day(atMs: number, unit: string): Reading[] {
  return Array.from({ length: 1_440 }, (_, minute) => ({
    site: 'mill',
    unit,
    atMs: atMs + minute * MINUTE_MS,
    channels: { leak: minute / 1e6, rh: 50 },
  }));
}

describe('lineside store, with readings in SQLite', () => {
  let place: ReturnType<typeof temporaryPlace>;
  beforeEach(() => {
    place = temporaryPlace();
  });
  afterEach(() => place.dispose());
  const store = (...asked: string[]) => lineside(['store', ...asked, '--data', place.data]);

  it('makes the folder once, and tells what is in it', async () => {
    const before = await store('status');
    expect(before.status).toBe(3);
    expect(before.stdout).toContain("run 'lineside store prepare'");
    expect(existsSync(place.data)).toBe(false);
    const made = await store('prepare');
    expect(made).toMatchObject({ status: 0, stderr: '' });
    expect(made.stdout).toMatch(/^made {4}folder .*telemetry: is new and empty\n$/);
    expect((await store('prepare')).stdout).toMatch(/^kept {4}folder .*: holds 0 weeks\n$/);

    const telemetry = await openTelemetryStore({ folder: join(place.data, 'telemetry') });
    const startMs = Date.UTC(2026, 0, 11);
    await telemetry.append([...day(startMs, 'rtu-01'), ...day(startMs + DAY_MS, 'rtu-02')]);
    const full = await store('status', '--json');
    expect(full.status).toBe(0);
    const status = JSON.parse(full.stdout);
    expect(status).toMatchObject({
      kind: 'sqlite',
      usable: true,
      units: 2,
      readings: 2_880,
      values: 5_760,
      oldest: '2026-01-11T00:00:00.000Z',
      newest: '2026-01-12T23:59:00.000Z',
      retention: { wantedDays: 400, setDays: 400 },
      lacks: {},
    });
    const week = { units: 1, readings: 1_440, quarters: 95, failure: null };
    expect(status.weeks).toMatchObject([
      { start: '2026-01-05T00:00:00.000Z', ...week },
      { start: '2026-01-12T00:00:00.000Z', ...week },
    ]);
    expect(status.bytes).toBeGreaterThan(100_000);
    expect(status.freeBytes).toBeGreaterThan(0);
    await telemetry.close();
    const damaged = join(place.data, 'telemetry', 'telemetry-2026-01-19.db');
    await writeFile(damaged, 'no database at all, and long enough to be looked at'.repeat(40));
    const { stdout } = await store('status');
    expect(stdout).toContain('2,880 at least (5,760 values) of 2 units');
    expect(stdout).toMatch(/2026-01-19 .*telemetry-2026-01-19\.db/);
  });

  it('says what is wrong with settings, and makes nothing then', async () => {
    const wrong = await lineside(['store', 'prepare', '--data', place.data], {
      LINESIDE_RETENTION_DAYS: 'long',
    });
    expect(wrong.status).toBe(2);
    expect(wrong.stderr).toContain('LINESIDE_RETENTION_DAYS');
    expect(existsSync(place.data)).toBe(false);
    expect((await lineside(['store', 'status'])).status).toBe(2);
  });
});

describe.skipIf(!HAS_INFLUXD)("lineside store (needs influxd, Debian's package influxdb)", () => {
  let server: InfluxServer;
  beforeAll(async () => {
    server = await startInfluxServer();
  });
  afterAll(() => server.stop());
  const store = (asked: readonly string[], more: Record<string, string> = {}) =>
    lineside(['store', ...asked], { LINESIDE_INFLUX_URL: server.url, ...more });

  it('needs no data folder, and says by its exit status what is left to a person', async () => {
    const made = await store(['prepare']);
    expect(made).toMatchObject({ status: 0, stderr: '' });
    expect(made.stdout.split('\n').slice(0, 2)).toEqual([
      'made    database lineside: is new and empty',
      'made    retention: is 407 days in storage periods of 7',
    ]);
    const options = { url: server.url, token: null, org: null, bucket: 'lineside' };
    const telemetry = await openInfluxStore(options);
    await telemetry.append(day(Math.floor(Date.now() / DAY_MS) * DAY_MS - 60 * DAY_MS, 'rtu-01'));
    await telemetry.close();
    const refused = await store(['prepare'], { LINESIDE_RETENTION_DAYS: '30' });
    expect(refused.status).toBe(1);
    expect(refused.stdout).toContain('to do   retention: is 407 days and should be 37 days');
    expect(refused.stdout).toContain('lineside store prepare --delete-older');
    const { status, stdout } = await store(['status']);
    expect(status).toBe(0);
    expect(stdout).toContain('1,440 at least (2,880 values) of 1 unit\n');
    expect(stdout).toContain('is as wanted: the server forgets after 407 days');
    expect(stdout).toContain('severalWriters: ');
  });

  it('says that no server answers', async () => {
    const nowhere = { LINESIDE_INFLUX_URL: 'http://127.0.0.1:1' };
    const prepared = await store(['prepare'], nowhere);
    expect(prepared.status).toBe(3);
    expect(prepared.stderr).toContain('InfluxDB at 127.0.0.1:1 failed');
    const asked = await store(['status'], nowhere);
    expect(asked.status).toBe(3);
    expect(asked.stdout).toContain('InfluxDB at 127.0.0.1:1 failed');
  });
});
