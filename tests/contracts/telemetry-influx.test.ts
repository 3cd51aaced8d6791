import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openInfluxStore, type TelemetryStore } from '@lineside/storage';
import { afterAll, beforeAll, describe } from 'vitest';
import { HAS_INFLUXD, type InfluxServer, startInfluxServer } from './influx-server.ts';
import { summingStore } from './summing-store.ts';
import { telemetryContract } from './telemetry-contract.ts';
import { telemetryQueryContract } from './telemetry-contract-queries.ts';
import { telemetrySumsContract } from './telemetry-contract-sums.ts';
import type { TelemetryPlace } from './telemetry-place.ts';

describe.skipIf(!HAS_INFLUXD)("a real server (needs influxd, Debian's package influxdb)", () => {
  let server: InfluxServer;
  let databases = 0;
  beforeAll(async () => {
    server = await startInfluxServer();
  });
  afterAll(() => server.stop());

  const make = async (
    dressed: (store: TelemetryStore) => TelemetryStore,
  ): Promise<TelemetryPlace> => {
    const root = await mkdtemp(join(tmpdir(), 'telemetry-'));
    databases += 1;
    const bucket = `contract-${databases}`;
    const given: TelemetryStore[] = [];
    const open = async (): Promise<TelemetryStore> => {
      const options = { url: server.url, token: null, org: null, bucket };
      const store = dressed(await openInfluxStore(options));
      given.push(store);
      return store;
    };
    const store = await open();
    return {
      store,
      another: open,
      reopen: async () => {
        await store.close();
        return open();
      },
      restored: () => Promise.reject(new Error('InfluxDB has tools of its own for that')),
      freshFolder: () => join(root, 'fresh'),
      dispose: async () => {
        await Promise.all(given.map((one) => one.close()));
        await server.run(`DROP DATABASE "${bucket}"`);
        await rm(root, { recursive: true, force: true });
      },
    };
  };

  telemetryContract('InfluxDB', () => make((store) => store));
  describe('InfluxDB, summed up in between', () => {
    telemetryQueryContract(() => make(summingStore));
  });
  telemetrySumsContract('InfluxDB', () => make((store) => store));
});
