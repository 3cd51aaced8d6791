import { labelledCaseJson } from '@lineside/api';
import { openRecordStore, type RecordStore } from '@lineside/storage';
import type { SortItem } from '../backtest/external-sort.ts';
import { openOutput } from '../backtest/output-file.ts';
import { TemporaryFiles } from '../backtest/temporary-files.ts';
import { existingDataFolder } from '../data-folder.ts';
import { dataFolderFrom } from './serve.ts';

export interface VerdictsOptions {
  readonly data?: string;
  readonly out: string;
}

/** Verdicts read at once. */
const PAGE = 1_000;

/**
 * Writes all verdicts with their alarms, one JSON object a line: what `backtest --verdicts` takes.
 * Reads only; a server may run over the same data.
 */
export async function verdicts(options: VerdictsOptions): Promise<void> {
  const folder = existingDataFolder(dataFolderFrom(options.data));
  const records = await openRecordStore({ file: folder.records });
  const temporary = new TemporaryFiles();
  try {
    const output = await openOutput(options.out, temporary);
    await output.write(casesOf(records));
    await output.finish();
  } finally {
    temporary.dispose();
    await records.close();
  }
}

async function* casesOf(
  records: Pick<RecordStore, 'alarm' | 'verdicts'>,
): AsyncGenerator<readonly SortItem[]> {
  let cursor: string | null = null;
  do {
    const page = await records.verdicts({ limit: PAGE, cursor });
    const lines: SortItem[] = [];
    for (const verdict of page.items) {
      const alarm = await records.alarm(verdict.alarmId);
      if (alarm === null) continue;
      const text = JSON.stringify(labelledCaseJson(verdict, alarm));
      lines.push({ atMs: verdict.atMs, tie: verdict.alarmId, text });
    }
    yield lines;
    cursor = page.next;
  } while (cursor !== null);
}
