import type { TelemetryStore } from '@lineside/storage';
import { telemetryContract } from '../contracts/telemetry-contract.ts';
import type { TelemetryPlace } from '../contracts/telemetry-place.ts';
import { openMemoryTelemetry } from './memory-telemetry.ts';
import { TelemetryDisk } from './telemetry-disk.ts';

telemetryContract('memory', async (): Promise<TelemetryPlace> => {
  const disk = new TelemetryDisk();
  const backups = new Map<string, TelemetryDisk>();
  const open = async (at: TelemetryDisk): Promise<TelemetryStore> =>
    openMemoryTelemetry(at, undefined, backups).store;
  const store = await open(disk);
  let folders = 0;
  return {
    store,
    another: () => open(disk),
    reopen: async () => {
      await store.close();
      return open(disk);
    },
    restored: async (folder) => open(backups.get(folder) ?? new TelemetryDisk()),
    freshFolder: () => {
      folders += 1;
      return `fresh-${folders}`;
    },
    dispose: () => store.close(),
  };
});
