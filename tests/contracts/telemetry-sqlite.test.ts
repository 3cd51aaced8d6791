import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openTelemetryStore, type TelemetryStore } from '@lineside/storage';
import { telemetryContract } from './telemetry-contract.ts';
import type { TelemetryPlace } from './telemetry-place.ts';

telemetryContract('SQLite', async (): Promise<TelemetryPlace> => {
  const root = await mkdtemp(join(tmpdir(), 'telemetry-'));
  const folder = join(root, 'data');
  const given: TelemetryStore[] = [];
  let folders = 0;
  const open = async (at: string): Promise<TelemetryStore> => {
    const store = await openTelemetryStore({ folder: at });
    given.push(store);
    return store;
  };
  const store = await open(folder);
  return {
    store,
    another: () => open(folder),
    reopen: async () => {
      await store.close();
      return open(folder);
    },
    restored: open,
    freshFolder: () => {
      folders += 1;
      return join(root, `fresh-${folders}`);
    },
    dispose: async () => {
      await Promise.all(given.map((one) => one.close()));
      await rm(root, { recursive: true, force: true });
    },
  };
});
