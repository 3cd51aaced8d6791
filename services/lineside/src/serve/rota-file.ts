import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Fleet } from '@lineside/fleet';
import { keepChanges, parseRota, parseRotaFile, type Rota, reviewSites } from '@lineside/oncall';
import type { OnCallRecords, StoredRota } from '@lineside/storage';
import { WrittenFileError } from '@lineside/written-file';
import type { Logger } from 'pino';
import { reading, readWrittenFile } from './read-written-file.ts';

/** In the data folder: which rota file was applied last, so that the same one is not again. */
const APPLIED_NAME = 'applied-rota.sha256';

export interface RotaFileOptions {
  readonly records: Pick<OnCallRecords, 'loadRota' | 'saveRota'>;
  /** Null: the stored rota holds. */
  readonly file: string | null;
  readonly dataFolder: string;
  readonly fleet: Fleet;
  readonly log: Logger;
}

/**
 * Applies the rota file: where its content differs from what was applied last it replaces the stored
 * rota, but for the covers and swaps that people arranged meanwhile. Returns the rota that holds,
 * null when there is none.
 *
 * @throws CommandFailure (2) that names file, line and what to correct.
 */
export async function applyRotaFile(options: RotaFileOptions): Promise<Rota | null> {
  const { records, file, dataFolder, fleet, log } = options;
  const stored = await records.loadRota();
  const before = storedRota(stored, log);
  if (file === null) return before;
  const text = readWrittenFile('rota file', file);
  const stated = reading(() => parseRotaFile(text, file));
  const hash = createHash('sha256').update(text).digest('hex');
  const appliedFile = join(dataFolder, APPLIED_NAME);
  if (before !== null && appliedHash(appliedFile) === hash) return before;
  const { rota, kept, dropped } =
    before === null ? { rota: stated, kept: [], dropped: [] } : keepChanges(stated, before);
  await records.saveRota(rota, stored?.generation ?? 0);
  // A crash in between applies the same file once more, which changes nothing.
  writeFileSync(appliedFile, `${hash}\n`, { mode: 0o600 });
  log.info({ file, teams: rota.teams.length, keptChanges: kept.length }, 'rota file applied');
  if (dropped.length > 0) {
    log.warn({ changes: dropped }, 'covers and swaps that do not fit the new rota were dropped');
  }
  for (const { place, words } of reviewSites(
    rota,
    fleet.sites.map(({ id }) => id),
  )) {
    log.warn({ file, place }, words);
  }
  return rota;
}

function storedRota(stored: StoredRota | null, log: Logger): Rota | null {
  if (stored === null) return null;
  try {
    return parseRota(stored.document, 'the stored rota');
  } catch (error) {
    if (!(error instanceof WrittenFileError)) throw error;
    log.error({ err: error }, 'the stored rota cannot be read; a rota file takes its place');
    return null;
  }
}

function appliedHash(file: string): string | null {
  return existsSync(file) ? readFileSync(file, 'utf8').trim() : null;
}
