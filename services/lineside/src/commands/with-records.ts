import { openRecordStore, type RecordStore } from '@lineside/storage';
import { openDataFolder } from '../data-folder.ts';
import { dataFolderFrom } from './serve.ts';

/**
 * Does something with the records of a data folder, also beside a running server, and closes them.
 *
 * @param data as given with `--data`; without it the setting holds.
 * @throws CommandFailure when there is no folder named, or it cannot be used.
 */
export async function withRecords<T>(
  data: string | undefined,
  use: (records: RecordStore) => Promise<T>,
): Promise<T> {
  const file = openDataFolder(dataFolderFrom(data)).records;
  const records = await openRecordStore({ file });
  try {
    return await use(records);
  } finally {
    await records.close();
  }
}
