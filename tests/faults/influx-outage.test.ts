/** Readings in a real InfluxDB: nothing of them in the data folder, nothing lost when it is killed. */
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { HAS_INFLUXD, type InfluxServer, startInfluxServer } from '../contracts/influx-server.ts';
import { eventually } from '../end-to-end/eventually.ts';
import { type Installation, install } from '../end-to-end/installation.ts';
import { minutePack } from '../end-to-end/packs.ts';
import { lineside } from '../end-to-end/server-process.ts';
import { AcknowledgedLoad, leakAmpsAt, storedLeak } from './acknowledged-load.ts';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;
const PACK_HOURS = 6;
/** Long enough for a commit to be tried several times. */
const OUTAGE_MS = 3_000;

describe.skipIf(!HAS_INFLUXD)("InfluxDB (needs influxd, Debian's package influxdb)", () => {
  let influx: InfluxServer;
  let here: Installation;
  let env: Record<string, string>;
  const startMs = Math.floor(Date.now() / HOUR_MS) * HOUR_MS - 10 * DAY_MS;

  beforeAll(async () => {
    influx = await startInfluxServer();
    env = { LINESIDE_INFLUX_URL: influx.url, LINESIDE_INFLUX_BUCKET: 'roofs' };
    here = await install(undefined, env);
  });
  afterAll(async () => {
    await here.dispose();
    await influx.stop();
  });

  const alarmsOf = async (unit: string) => {
    await eventually(
      () => here.get<{ pending: number }>('/api/health'),
      ({ pending }) => pending === 0,
      { withinMs: 40_000 },
    );
    interface Alarm {
      readonly kind: string;
      readonly priority: string;
      readonly raised: string;
      readonly cleared: string;
    }
    const { items } = await here.get<{ items: readonly Alarm[] }>(`/api/alarms?unit=${unit}`);
    return items.map(({ kind, priority, raised, cleared }) => ({
      kind,
      priority,
      raised,
      cleared,
    }));
  };

  const expectStored = async (
    load: AcknowledgedLoad,
    unit: readonly [string, string],
    endMs: number,
    fromMs = startMs,
  ): Promise<void> => {
    const { server, officeToken } = here;
    const stored = await storedLeak(server, officeToken, ...unit, fromMs, endMs);
    const times = new Set(stored.map(([atMs]) => atMs));
    expect(times.size).toBe(stored.length);
    expect(load.acknowledged.filter((atMs) => !times.has(atMs))).toEqual([]);
    for (const [atMs = 0, min, , max] of stored) {
      expect([min, max]).toEqual([leakAmpsAt(atMs), leakAmpsAt(atMs)]);
    }
  };

  it('judges from it what comes late, and what other limits would have raised', async () => {
    const packs = Array.from({ length: 16 }, (_, index) =>
      minutePack(startMs + index * PACK_HOURS * HOUR_MS, PACK_HOURS * 60, index === 12 ? 14 : 1.2),
    );
    const send = async (unit: string, list: readonly string[]) => {
      const node = await here.node('harbour-mall', unit);
      for (const pack of list) {
        await node.publishAsync(`lineside/harbour-mall/${unit}/telemetry`, pack, { qos: 1 });
      }
    };
    await send('rtu-01', packs);
    const expected = await alarmsOf('rtu-01');
    expect(expected.map(({ kind, priority }) => [kind, priority])).toEqual([['leakage', 'urgent']]);
    await send('rtu-02', packs.toReversed());
    expect(await alarmsOf('rtu-02')).toEqual(expected);

    const { data } = here.place;
    const asked = ['what-if', '--data', data, '--limit', 'leakageUrgent=20', '--days', '30'];
    const counted = await lineside(asked, env);
    expect(counted).toMatchObject({ status: 0, stderr: '' });
    expect(counted.stdout).toMatch(/leakage +urgent +2 +0\n/);
    expect(readdirSync(join(data, 'telemetry'))).toEqual([]);
  });

  it('acknowledges nothing while it is out, and loses nothing when it was killed', async () => {
    const node = await here.node('hilltop-school', 'rtu-11');
    const topic = 'lineside/hilltop-school/rtu-11/telemetry';
    const load = new AcknowledgedLoad(node, topic, startMs);
    const grownBy = async (count: number): Promise<void> => {
      const before = load.acknowledged.length;
      const enough = (now: number): boolean => now >= before + count;
      await eventually(async () => load.acknowledged.length, enough, { withinMs: 30_000 });
    };
    await grownBy(200);
    await influx.kill();
    const beforeKill = load.acknowledged.length;
    await new Promise((resolve) => setTimeout(resolve, OUTAGE_MS));
    // What was committed just before the kill may still have been on its way to the client.
    expect(load.acknowledged.length).toBeLessThanOrEqual(beforeKill + 20);
    const health = await fetch(`${here.server.http}/api/health`);
    expect(await health.json()).toMatchObject({ state: 'down' });
    await influx.start();
    await grownBy(200);
    const endMs = load.stop();
    await here.restart('kill');

    await expectStored(load, ['hilltop-school', 'rtu-11'], endMs);
  });

  it('ends within ten seconds while it hangs, and has lost nothing afterwards', async () => {
    const node = await here.node('harbour-mall', 'rtu-02');
    const fromMs = startMs - 5 * DAY_MS;
    const topic = 'lineside/harbour-mall/rtu-02/telemetry';
    const load = new AcknowledgedLoad(node, topic, fromMs);
    const some = (count: number): boolean => count > 100;
    await eventually(async () => load.acknowledged.length, some);
    influx.pause();
    // A question that hangs as well must not hold up the end.
    const question = here.get(`/api/units/harbour-mall/rtu-02/telemetry`).catch(() => null);
    await new Promise((resolve) => setTimeout(resolve, OUTAGE_MS));
    const askedAt = performance.now();
    const endMs = load.stop();
    expect(await here.server.stop()).toBe(0);
    expect(performance.now() - askedAt).toBeLessThan(10_000);
    await question;
    influx.resume();
    await here.restart('stop');
    await expectStored(load, ['harbour-mall', 'rtu-02'], endMs, fromMs);
  });

  it('is said to be out while nobody sends, and does not let a server start', async () => {
    await influx.kill();
    const telemetry = async (): Promise<unknown> => {
      const answer = await fetch(`${here.server.http}/api/health`);
      return (await answer.json()).telemetry;
    };
    const isTold = (said: unknown): boolean => JSON.stringify(said).includes('does not answer');
    expect(await eventually(telemetry, isTold, { withinMs: 40_000 })).toMatchObject({
      state: 'degraded',
    });
    await here.server.stop();
    const asked = ['serve', '--data', here.place.data];
    const refused = await lineside(asked, { ...env, LINESIDE_HTTP_PORT: '0' });
    expect(refused.status).toBe(3);
    expect(refused.stderr).toContain('InfluxDB at 127.0.0.1');
    expect(refused.stderr).toContain('ECONNREFUSED');
  });
});
