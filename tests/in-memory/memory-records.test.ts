import type { RecordStore } from '@lineside/storage';
import { recordContract } from '../contracts/record-contract.ts';
import type { RecordPlace } from '../contracts/record-place.ts';
import { openMemoryRecords } from './memory-records.ts';
import { RecordDisk } from './record-disk.ts';

recordContract('memory', async (): Promise<RecordPlace> => {
  const disk = new RecordDisk();
  const backups = new Map<string, RecordDisk>();
  const open = async (at: RecordDisk): Promise<RecordStore> =>
    openMemoryRecords(at, undefined, backups).store;
  const store = await open(disk);
  let files = 0;
  return {
    store,
    another: () => open(disk),
    reopen: async () => {
      await store.close();
      return open(disk);
    },
    restored: async (file) => open(backups.get(file) ?? new RecordDisk()),
    freshFile: () => {
      files += 1;
      return `fresh-${files}`;
    },
    dispose: () => store.close(),
  };
});
