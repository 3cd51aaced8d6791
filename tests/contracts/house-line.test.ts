import type { FarStores, HouseLine } from '@lineside/lineside/house';
import { houseHealth, openMemoryLine, openMqttLine } from '@lineside/lineside/house';
import { connectAsync } from 'mqtt';
import { pino } from 'pino';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { houseLineContract } from './house-line-contract.ts';
import {
  conditionAt,
  eventually,
  NOW_MS,
  PlayedAlerting,
  PlayedIngest,
  readingOf,
  SITE,
} from './house-line-place.ts';
import { HAS_MOSQUITTO, type MosquittoServer, startMosquittoServer } from './mosquitto-server.ts';

const log = pino({ level: 'silent' });

const NOTHING_STORED: FarStores = {
  readings: async () => [],
  conditions: async () => [],
  records: async () => ({ state: 'ok', reason: null }),
};

describe('in one process', () => {
  houseLineContract(async () => {
    const line = openMemoryLine(log);
    return { ofIngest: line, ofApi: line, ofAlerting: line, dispose: () => line.close() };
  });
});

describe.skipIf(!HAS_MOSQUITTO)('over a real Mosquitto (Debian package mosquitto)', () => {
  let mosquitto: MosquittoServer;
  beforeAll(async () => {
    mosquitto = await startMosquittoServer();
  });
  afterAll(() => mosquitto.stop());

  const open = (
    stores: FarStores | null,
    hasAlerting = false,
    url = mosquitto.url,
  ): Promise<HouseLine> =>
    openMqttLine({
      address: { url, username: null, password: null, tls: null },
      log,
      stores,
      hasAlerting,
    });
  const opened = async (...given: Parameters<typeof open>): Promise<HouseLine> => {
    const line = await open(...given);
    onTestFinished(() => line.close());
    return line;
  };

  houseLineContract(async () => {
    const ofIngest = await open(null);
    const ofApi = await open(NOTHING_STORED);
    const ofAlerting = await open({ ...NOTHING_STORED, conditions: null }, true);
    return {
      ...{ ofIngest, ofApi, ofAlerting },
      dispose: async () => {
        for (const line of [ofAlerting, ofApi, ofIngest]) await line.close();
      },
    };
  });

  it('knows from the start what is stored', async () => {
    const api = await opened({
      ...NOTHING_STORED,
      readings: async () => [readingOf('rtu-01', NOW_MS)],
      conditions: async () => [{ site: SITE, unit: 'rtu-01', condition: conditionAt(NOW_MS) }],
    });
    expect(api.ingest.latest(SITE, 'rtu-01')).toEqual(readingOf('rtu-01', NOW_MS));
    expect(api.ingest.condition(SITE, 'rtu-01')).toEqual(conditionAt(NOW_MS));
  });

  it('goes on by itself after the broker was gone, and reads what was not heard', async () => {
    const own = await startMosquittoServer();
    onTestFinished(() => own.stop());
    const stored = [readingOf('rtu-01', NOW_MS)];
    const played = new PlayedIngest();
    const ingest = await opened(null, false, own.url);
    ingest.bringIngest(played);
    const api = await opened({ ...NOTHING_STORED, readings: async () => stored }, false, own.url);
    await eventually(async () => expect((await houseHealth(api)).pending).toBe(0));
    await own.kill();
    await eventually(async () =>
      expect(await houseHealth(api)).toMatchObject({
        broker: { state: 'down' },
        ingest: { state: 'down' },
        alerting: { state: 'down' },
        records: { state: 'ok' },
        pending: null,
      }),
    );
    const missed = readingOf('rtu-01', NOW_MS + 60_000);
    stored.push(missed);
    played.commit(missed);
    await own.start();
    await eventually(async () => expect((await houseHealth(api)).pending).toBe(0));
    await eventually(() => expect(api.ingest.latest(SITE, 'rtu-01')).toEqual(missed));
  });

  it('says after two seconds that nobody answers, and does not call that nothing pending', async () => {
    const api = await opened(NOTHING_STORED);
    await eventually(async () =>
      expect(await houseHealth(api)).toMatchObject({
        broker: { state: 'ok' },
        ingest: { state: 'down', reason: expect.stringContaining('no answer within 2 s; see') },
        alerting: { state: 'down', reason: expect.stringContaining('--only alerting') },
        pending: null,
      }),
    );
    const alerting = await opened({ ...NOTHING_STORED, conditions: null }, true);
    alerting.bringAlerting(new PlayedAlerting());
    await eventually(async () =>
      expect((await houseHealth(api)).alerting).toEqual({ state: 'ok', reason: null }),
    );
    expect(await alerting.ingest.judgedThroughMs([{ site: SITE, unit: 'rtu-01' }])).toEqual([null]);
  });

  it('reads again what a lost message told', async () => {
    const api = await opened({
      ...NOTHING_STORED,
      readings: async () => [readingOf('rtu-09', NOW_MS)],
    });
    await eventually(() => expect(api.ingest.latest(SITE, 'rtu-09')).not.toBeNull());
    const stored = readingOf('rtu-09', NOW_MS + 1);
    const again = await opened({ ...NOTHING_STORED, readings: async () => [stored] });
    const liar = await connectAsync(mosquitto.url);
    onTestFinished(() => liar.endAsync());
    const say = (sequence: number): Promise<unknown> =>
      liar.publishAsync(
        'lineside-house/ingest/readings',
        JSON.stringify({ run: 'r', sequence, readings: [readingOf('rtu-01', sequence)] }),
      );
    await eventually(async () => {
      await say(1);
      expect(again.ingest.latest(SITE, 'rtu-01')).not.toBeNull();
    });
    await say(3);
    await eventually(() => expect(again.ingest.latest(SITE, 'rtu-09')).toEqual(stored));
  });

  it('is not disturbed by messages that are none', async () => {
    const played = new PlayedIngest();
    const ingest = await opened(null);
    ingest.bringIngest(played);
    const api = await opened(NOTHING_STORED);
    await eventually(async () => expect((await houseHealth(api)).pending).toBe(0));
    const other = await connectAsync(mosquitto.url);
    onTestFinished(() => other.endAsync());
    const topics = ['ingest/readings', 'ingest/conditions', 'ingest/beat', 'service', 'ask/ingest'];
    for (const topic of topics) {
      for (const payload of ['', '{', 'null', '[]', '{"run":1}', '{"run":"x","sequence":1}']) {
        await other.publishAsync(`lineside-house/${topic}`, payload);
      }
    }
    expect((await houseHealth(api)).pending).toBe(0);
  });
});
