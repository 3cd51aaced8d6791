import { readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { StoreError } from '../../ports/store-error.ts';
import type { AppendReport } from '../../ports/telemetry-store.ts';
import type { WorkerAdapter } from '../../worker/serve-worker.ts';
import { channelsIn } from './channel-mask.ts';
import { OpenFiles } from './open-files.ts';
import { openForWriting, weekFailure } from './open-week.ts';
import { type PackedReadings, ROW_HEAD } from './packed-readings.ts';
import { weekFileName, weekOfFile, weekSpan, weekStart } from './week.ts';
import { type UnitState, WeekWriter } from './week-writer.ts';

/** Live data needs one or two weeks; a few more for nodes that send a backlog. */
const MOST_OPEN_FILES = 4;

/**
 * Weeks that one batch may touch: more than two years. All of its files are open at once, so that
 * an error in one leaves nothing in the others.
 */
export const APPEND_MOST_WEEKS = 120;

export interface TelemetryWriterOptions {
  readonly folder: string;
}

/** Everything that writes to the weeks' files; runs in a worker. */
export class TelemetryWriter implements WorkerAdapter {
  readonly #folder: string;
  readonly #files = new OpenFiles<WeekWriter>(MOST_OPEN_FILES);
  #mostPages: number | null = null;

  constructor(options: TelemetryWriterOptions) {
    this.#folder = options.folder;
  }

  /**
   * One transaction a file, begun in all files before any commits, committed oldest first. Only a
   * crash or an error of a commit itself can keep a part of the batch; sending it again completes
   * it, since what is there already changes nothing.
   */
  append(packed: PackedReadings): AppendReport {
    const byWeek = rowsByWeek(packed);
    const begun: { readonly week: number; readonly file: WeekWriter }[] = [];
    let week = 0;
    try {
      for (const [startMs, places] of byWeek) {
        week = startMs;
        const file = this.#file(startMs);
        begun.push({ week, file });
        file.begin();
        addRows(file, packed, places);
        file.finish();
      }
      const report = { storedValues: 0, duplicateValues: 0 };
      for (const one of begun) {
        week = one.week;
        one.file.commit();
        report.storedValues += one.file.storedValues;
        report.duplicateValues += one.file.duplicateValues;
      }
      return report;
    } catch (error) {
      for (const one of begun) this.#undo(one.week, one.file);
      throw weekFailure(error, this.#path(week));
    } finally {
      this.#files.trim();
    }
  }

  /** Deletes the files of weeks that end at or before `beforeMs`. */
  dropBefore(beforeMs: number): void {
    for (const name of readdirSync(this.#folder).sort()) {
      const startMs = weekOfFile(name);
      if (startMs === null || weekSpan(startMs).toMs > beforeMs) continue;
      this.#files.closeOne(startMs);
      rmSync(join(this.#folder, name), { force: true });
    }
  }

  /** Lets no file grow beyond that many pages, as a full disk would. */
  limitPages(pages: number): void {
    this.#mostPages = pages;
    for (const file of this.#files.files()) file.limitPages(pages);
  }

  close(): void {
    this.#files.closeAll();
  }

  #file(startMs: number): WeekWriter {
    return this.#files.use(startMs, () => {
      const file = new WeekWriter(openForWriting(this.#path(startMs)));
      if (this.#mostPages !== null) file.limitPages(this.#mostPages);
      return file;
    });
  }

  #path(startMs: number): string {
    return join(this.#folder, weekFileName(startMs));
  }

  #undo(week: number, file: WeekWriter): void {
    try {
      file.rollback();
    } catch {
      // The error that led here is the one to report; a fresh connection starts clean.
      this.#files.closeOne(week);
    }
  }
}

/** Places of the rows of each week, weeks ascending, rows in the order of the batch. */
function rowsByWeek(packed: PackedReadings): [number, number[]][] {
  const { rows, length } = packed;
  const weeks = new Map<number, number[]>();
  let currentStart = Number.NaN;
  let current: number[] = [];
  let place = 0;
  while (place < length) {
    const startMs = weekStart(rows[place + 1] ?? 0);
    if (startMs !== currentStart) {
      currentStart = startMs;
      current = weeks.get(startMs) ?? [];
      weeks.set(startMs, current);
    }
    current.push(place);
    place += ROW_HEAD + channelsIn(rows[place + 2] ?? 0).length;
  }
  if (weeks.size > APPEND_MOST_WEEKS) {
    const message = `The batch spans ${weeks.size} weeks, more than ${APPEND_MOST_WEEKS}: split it`;
    throw new StoreError('STORE_BAD_INPUT', message);
  }
  return [...weeks].sort(([a], [b]) => a - b);
}

function addRows(file: WeekWriter, packed: PackedReadings, places: readonly number[]): void {
  const { rows, units } = packed;
  const states: UnitState[] = [];
  for (const place of places) {
    const unitPlace = rows[place] ?? -1;
    let state = states[unitPlace];
    if (state === undefined) {
      const name = units[unitPlace];
      if (name === undefined) throw new RangeError(`Row at ${place} belongs to no unit`);
      state = file.unit(name);
      states[unitPlace] = state;
    }
    file.add(state, rows[place + 1] ?? 0, rows[place + 2] ?? 0, rows, place + ROW_HEAD);
  }
}
