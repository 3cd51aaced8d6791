import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openRecordStore, type RecordStore } from '@lineside/storage';
import { recordContract } from './record-contract.ts';
import type { RecordPlace } from './record-place.ts';

recordContract('SQLite', async (): Promise<RecordPlace> => {
  const root = await mkdtemp(join(tmpdir(), 'records-'));
  const file = join(root, 'data', 'records.db');
  const given: RecordStore[] = [];
  let files = 0;
  const open = async (at: string): Promise<RecordStore> => {
    const store = await openRecordStore({ file: at });
    given.push(store);
    return store;
  };
  const store = await open(file);
  return {
    store,
    another: () => open(file),
    reopen: async () => {
      await store.close();
      return open(file);
    },
    restored: open,
    freshFile: () => {
      files += 1;
      return join(root, `fresh-${files}`, 'records.db');
    },
    dispose: async () => {
      await Promise.all(given.map((one) => one.close()));
      await rm(root, { recursive: true, force: true });
    },
  };
});
