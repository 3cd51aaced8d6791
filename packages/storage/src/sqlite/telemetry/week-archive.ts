import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { OpenFiles } from './open-files.ts';
import { openForReading, weekFailure } from './open-week.ts';
import { overlap, type Span, weekFileName, weekOfFile, weekSpan } from './week.ts';
import { WeekReader } from './week-reader.ts';

/**
 * Open connections of the reading thread: a quarter of a year. Each has a page cache, and opening
 * one again takes less than a millisecond.
 */
const MOST_OPEN_FILES = 16;

/** All weeks of a folder for reading. Looks at the folder anew at each question. */
export class WeekArchive {
  readonly #folder: string;
  readonly #files = new OpenFiles<WeekReader>(MOST_OPEN_FILES);

  constructor(folder: string) {
    this.#folder = folder;
  }

  /** Starts of the weeks that have a file, oldest first. */
  weeks(): number[] {
    const starts = readdirSync(this.#folder)
      .filter((name) => name.endsWith('.db'))
      .map(weekOfFile)
      .filter((startMs) => startMs !== null);
    return starts.sort((a, b) => a - b);
  }

  path(startMs: number): string {
    return join(this.#folder, weekFileName(startMs));
  }

  /**
   * Runs `work` on one week's file, at one state of it; `undefined` when it is gone or empty.
   * @throws StoreError naming the file.
   */
  read<T>(startMs: number, work: (week: WeekReader) => T): T | undefined {
    const path = this.path(startMs);
    try {
      const week = this.#files.use(startMs, () => {
        const db = openForReading(path);
        return db === null ? null : new WeekReader(db);
      });
      return week === null ? undefined : week.atOneMoment(() => work(week));
    } catch (error) {
      this.#files.closeOne(startMs);
      if (!this.weeks().includes(startMs)) return undefined;
      throw weekFailure(error, path);
    } finally {
      this.#files.trim();
    }
  }

  /** Runs `work` on each week that shares times with the span, oldest first, until it says stop. */
  readSpan(span: Span, work: (week: WeekReader, part: Span) => 'stop' | undefined): void {
    for (const startMs of this.weeks()) {
      const part = overlap(span, weekSpan(startMs));
      if (part === null) continue;
      if (this.read(startMs, (week) => work(week, part)) === 'stop') return;
    }
  }

  /** Lets go of the files of weeks that end at or before `beforeMs`. */
  closeBefore(beforeMs: number): void {
    for (const startMs of this.#files.starts()) {
      if (weekSpan(startMs).toMs <= beforeMs) this.#files.closeOne(startMs);
    }
  }

  close(): void {
    this.#files.closeAll();
  }
}
