/** What is made for a store and told of it, against a real server. */
import type { Reading } from '@lineside/readings';
import {
  openInfluxStore,
  type PreparedThing,
  prepareStore,
  type StoreStatus,
  storeStatus,
  type TelemetrySource,
} from '@lineside/storage';
import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { HAS_INFLUXD, type InfluxServer, startInfluxServer } from './influx-server.ts';
import { DAY_MS, MINUTE_MS } from './telemetry-place.ts';

vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 });

function day(atMs: number): Reading[] {
  return Array.from({ length: 1_440 }, (_, minute) => ({
    site: 'mill',
    unit: 'rtu-01',
    atMs: atMs + minute * MINUTE_MS,
    channels: { leak: minute / 1e6, rh: 50 },
  }));
}

function said(things: readonly PreparedThing[]): readonly string[] {
  return things.map(({ name, outcome, words }) => `${outcome} ${name}: ${words}`);
}

describe.skipIf(!HAS_INFLUXD)("a real server (needs influxd, Debian's package influxdb)", () => {
  const nowMs = Date.now();
  const todayMs = Math.floor(nowMs / DAY_MS) * DAY_MS;
  let server: InfluxServer;
  let bucket: string;
  let count = 0;
  beforeAll(async () => {
    server = await startInfluxServer();
  });
  afterAll(() => server.stop());
  beforeEach(() => {
    count += 1;
    bucket = `roofs ${count}`;
  });
  const source = (): TelemetrySource => ({
    kind: 'influxdb',
    server: { url: server.url, token: null, org: null, bucket },
  });
  const prepare = (retentionDays = 400, mayDelete = false) =>
    prepareStore(source(), { retentionDays, mayDelete, nowMs });
  const status = (retentionDays = 400): Promise<StoreStatus> =>
    storeStatus(source(), retentionDays, nowMs);
  const filled = async (...days: number[]): Promise<void> => {
    const telemetry = await openInfluxStore({ url: server.url, token: null, org: null, bucket });
    for (const atMs of days) await telemetry.append(day(atMs));
    await telemetry.sumUp?.(nowMs);
    await telemetry.close();
  };

  it('has its database made with its retention once, and tells what is in it', async () => {
    expect((await status()).failure).toContain(`there is no ${bucket} yet`);
    expect(said(await prepare()).slice(0, 2)).toEqual([
      `made database ${bucket}: is new and empty`,
      'made retention: is 407 days in storage periods of 7',
    ]);
    const again = await prepare();
    expect(new Set(again.map(({ outcome }) => outcome))).toEqual(new Set(['kept']));

    await filled(todayMs - 3 * DAY_MS, todayMs - 2 * DAY_MS);
    const full = await status();
    expect(full).toMatchObject({
      kind: 'influxdb',
      generation: 1,
      failure: null,
      units: 1,
      readings: 2_880,
      values: 5_760,
      oldestMs: todayMs - 3 * DAY_MS,
      newestMs: todayMs - DAY_MS - MINUTE_MS,
      retention: { wantedDays: 400, setDays: 407 },
      sums: { lateDays: 0 },
    });
    expect(full.sums.beforeMs).toBeGreaterThan(nowMs - 31 * MINUTE_MS);
    expect(full.bytes).toBeGreaterThan(0);
    expect(Object.keys(full.lacks)).toContain('severalWriters');
  });

  it('deletes nothing for a shorter retention unless it may', async () => {
    // As a server makes it that was never prepared: readings are kept for ever.
    await filled(todayMs - 100 * DAY_MS);
    expect((await status()).retention).toMatchObject({ wantedDays: 400, setDays: null });
    const was = 'it was for ever';
    expect(said(await prepare())[1]).toBe(
      `changed retention: is 407 days in storage periods of 7; ${was}`,
    );
    const [, refused] = await prepare(30);
    expect(refused?.outcome).toBe('to do');
    expect(refused?.words).toContain('is 407 days and should be 37 days');
    expect(refused?.steps.join()).toContain('lineside store prepare --delete-older');
    expect(await status(30)).toMatchObject({
      readings: 1_440,
      retention: { wantedDays: 30, setDays: 407 },
    });
    const was407 = 'it was 407 days';
    expect(said(await prepare(30, true))[1]).toBe(
      `changed retention: is 37 days in storage periods of 7; ${was407}`,
    );
    expect((await status(30)).retention).toMatchObject({ wantedDays: 30, setDays: 37 });
  });

  it('takes readings that the server will not keep, as nobody could wait for them', async () => {
    await prepare(30);
    await filled(todayMs - 200 * DAY_MS, todayMs - 2 * DAY_MS);
    expect(await status(30)).toMatchObject({ readings: 1_440, failure: null });
  });

  it('counts days of late readings until they are summed up', async () => {
    await filled(todayMs - 3 * DAY_MS);
    const telemetry = await openInfluxStore({ url: server.url, token: null, org: null, bucket });
    await telemetry.append(day(todayMs - 4 * DAY_MS));
    expect((await status()).sums.lateDays).toBe(1);
    await telemetry.sumUp?.(nowMs);
    await telemetry.close();
    expect(await status()).toMatchObject({ readings: 2_880, sums: { lateDays: 0 } });
  });
});
