/**
 * A real Mosquitto between nodes and the real command. What Mosquitto acknowledged to a node is
 * stored in the end, once, whatever stops in between.
 */
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { connectAsync, type MqttClient } from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  HAS_MOSQUITTO,
  type MosquittoServer,
  startMosquittoServer,
} from '../contracts/mosquitto-server.ts';
import { eventually } from '../end-to-end/eventually.ts';
import { type Installation, install } from '../end-to-end/installation.ts';
import { leakAmpsAt, storedLeak } from './acknowledged-load.ts';
import { PacedLoad } from './paced-load.ts';

const KILLS = 4;
/** Different moments of a commit's life; fixed, so that a failure can be repeated. */
const KILL_AFTER_MS = [90, 310, 40, 700];
const DAY_MS = 86_400_000;
const CAUGHT_UP = { withinMs: 40_000 };
const ALARM_TOPIC = 'lineside/harbour-mall/rtu-02/alarm/leakage';

type Unit = readonly [site: string, unit: string];

describe.skipIf(!HAS_MOSQUITTO)(
  'an outside broker (needs Debian package mosquitto)',
  {
    timeout: 120_000,
  },
  () => {
    const startMs = Math.floor(Date.now() / 1000) * 1000 - 10 * DAY_MS;
    const clients: MqttClient[] = [];
    let broker: MosquittoServer;
    let here: Installation;

    beforeAll(async () => {
      broker = await startMosquittoServer();
      here = await install(undefined, { LINESIDE_MQTT_URL: broker.url });
    });
    afterAll(async () => {
      await Promise.all(clients.map((client) => client.endAsync(true)));
      await here.dispose();
      await broker.stop();
    });

    const connected = async (): Promise<MqttClient> => {
      const client = await connectAsync(broker.url, { reconnectPeriod: 100 });
      client.on('error', () => {});
      clients.push(client);
      return client;
    };
    const loadOf = async ([site, unit]: Unit): Promise<PacedLoad> =>
      new PacedLoad(await connected(), `lineside/${site}/${unit}/telemetry`, startMs);
    const grownBy = async (load: PacedLoad, count: number): Promise<void> => {
      const enough = load.acknowledged.length + count;
      await eventually(
        async () => load.acknowledged.length,
        (now) => now >= enough,
        CAUGHT_UP,
      );
    };
    const stored = ([site, unit]: Unit, toMs: number): Promise<number[][]> =>
      storedLeak(here.server, here.officeToken, site, unit, startMs, toMs);
    const brokerState = async (): Promise<{ state: string; reason: string | null }> =>
      (await here.get<{ broker: { state: string; reason: string | null } }>('/api/health')).broker;

    /** All that was acknowledged, with the values that belong to its times, and each time once. */
    const expectAllStored = async (load: PacedLoad, unit: Unit): Promise<void> => {
      const endMs = load.stop();
      await eventually(() => stored(unit, endMs), covers(load), CAUGHT_UP);
      const points = await stored(unit, endMs);
      expect(new Set(points.map(([atMs]) => atMs)).size).toBe(points.length);
      for (const [atMs = 0, min, , max] of points) {
        expect([min, max]).toEqual([leakAmpsAt(atMs), leakAmpsAt(atMs)]);
      }
    };

    it(`loses nothing and stores nothing twice when ingest is killed ${KILLS} times`, async () => {
      const units: readonly Unit[] = [
        ['harbour-mall', 'rtu-01'],
        ['hilltop-school', 'rtu-11'],
      ];
      const loads = await Promise.all(units.map(loadOf));
      for (const afterMs of KILL_AFTER_MS) {
        await Promise.all(loads.map((load) => grownBy(load, 100)));
        await new Promise((resolve) => setTimeout(resolve, afterMs));
        await here.restart('kill');
      }
      await Promise.all(units.map((unit, index) => expectAllStored(loads[index]!, unit)));
    });

    it('has the broker keep what comes while the store is out', async () => {
      const unit: Unit = ['harbour-mall', 'rtu-02'];
      const load = await loadOf(unit);
      await grownBy(load, 100);
      const locks = lockTelemetry(join(here.place.data, 'telemetry'));
      try {
        await eventually(
          () => here.get<{ telemetry: { state: string } }>('/api/health'),
          ({ telemetry }) => telemetry.state === 'down',
          CAUGHT_UP,
        );
        await grownBy(load, 500);
      } finally {
        for (const lock of locks) lock.close();
      }
      await expectAllStored(load, unit);
    });

    it('catches up after the broker was paused, restarted and killed, and shows alarms anew', async () => {
      const unit: Unit = ['hilltop-school', 'rtu-11'];
      const alarm = await connected();
      const pack = [{ bt: Date.now() / 1000 - 3_600, n: 'leak', u: 'A', v: 0.014 }];
      for (let minute = 0; minute < 30; minute++)
        pack.push({ ...pack[0]!, bt: pack[0]!.bt + minute * 60 });
      await alarm.publishAsync('lineside/harbour-mall/rtu-02/telemetry', JSON.stringify(pack), {
        qos: 1,
      });
      await eventually(
        () => retained(broker.url, ALARM_TOPIC),
        (text) => text !== null,
        CAUGHT_UP,
      );

      const load = await loadOf(unit);
      await grownBy(load, 100);
      broker.pause();
      await new Promise((resolve) => setTimeout(resolve, 1_000));
      broker.resume();
      await grownBy(load, 100);
      await broker.end();
      const down = await eventually(brokerState, ({ state }) => state === 'down', CAUGHT_UP);
      expect(down.reason).toContain(`no connection to ${broker.url}`);
      await broker.start();
      await grownBy(load, 100);
      await expectAllStored(load, unit);

      // All of it is stored, so that what Mosquitto forgets at a kill is known to us.
      await broker.kill();
      await eventually(brokerState, ({ state }) => state === 'down', CAUGHT_UP);
      await broker.start();
      await eventually(brokerState, ({ state }) => state === 'ok', CAUGHT_UP);
      await eventually(
        () => retained(broker.url, ALARM_TOPIC),
        (text) => text !== null,
        CAUGHT_UP,
      );
    });
  },
);

function covers(load: PacedLoad): (points: readonly number[][]) => boolean {
  return (points) => {
    const times = new Set(points.map(([atMs]) => atMs));
    return load.acknowledged.every((atMs) => times.has(atMs));
  };
}

/** Holds the write lock of every file, as another program does that hangs in a transaction. */
function lockTelemetry(folder: string): Database.Database[] {
  return readdirSync(folder)
    .filter((name) => name.endsWith('.db'))
    .map((name) => {
      const database = new Database(join(folder, name));
      database.exec('BEGIN IMMEDIATE');
      return database;
    });
}

/** What the broker retains at the topic; null: nothing within half a second. */
async function retained(url: string, topic: string): Promise<string | null> {
  const reader = await connectAsync(url, { reconnectPeriod: 0 });
  try {
    const found = new Promise<string | null>((resolve) => {
      reader.on('message', (_topic, payload) => resolve(payload.toString()));
      setTimeout(resolve, 500, null);
    });
    await reader.subscribeAsync(topic, { qos: 1 });
    return await found;
  } finally {
    await reader.endAsync(true);
  }
}
