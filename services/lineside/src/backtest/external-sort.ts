import { closeSync, openSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { CommandFailure, EXIT } from '../failure.ts';
import { regionBytes } from './byte-sources.ts';
import { LineReader } from './line-reader.ts';
import { type Batches, mergeSorted } from './merge-sorted.ts';
import type { TemporaryFiles } from './temporary-files.ts';

/** Something to be sorted by time, then by `tie`; what is alike stays in the order it came in. */
export interface SortItem {
  readonly atMs: number;
  /** Without tabs and newlines. */
  readonly tie: string;
  /** Without newlines. */
  readonly text: string;
}

export interface SortLimits {
  /** Text that is sorted in memory before it goes to disk, characters. */
  readonly runMostCharacters: number;
  /** Sorted runs that are read at once. */
  readonly runsMergedMost: number;
  /** Read of each run at once. */
  readonly runChunkBytes: number;
}

/** 16 GiB in one pass, with about 100 MiB of memory; more takes another pass, not more memory. */
export const SORT_LIMITS: SortLimits = {
  runMostCharacters: 33_554_432,
  runsMergedMost: 512,
  runChunkBytes: 65_536,
};

/** For what a back-test tells: three of these stand beside the judging, so they are smaller. */
export const OUTPUT_SORT_LIMITS: SortLimits = { ...SORT_LIMITS, runMostCharacters: 4_194_304 };

/** What an item costs beside its text, in characters: its objects. */
const ITEM_OVERHEAD_CHARACTERS = 100;
/** Written to a run at once, characters. */
const WRITE_CHARACTERS = 262_144;
const TAB = '\t';

interface Run {
  readonly from: number;
  readonly to: number;
}

/**
 * Sorts more than memory holds: sorted runs go to a temporary file and are merged. What fits one
 * run never touches the disk.
 */
export class ExternalSort {
  readonly #temporary: TemporaryFiles;
  readonly #limits: SortLimits;
  #items: SortItem[] = [];
  #characters = 0;
  #file: number | null = null;
  #fileBytes = 0;
  #runs: Run[] = [];

  constructor(temporary: TemporaryFiles, limits: SortLimits = SORT_LIMITS) {
    this.#temporary = temporary;
    this.#limits = limits;
  }

  push(item: SortItem): void {
    this.#items.push(item);
    this.#characters += item.text.length + item.tie.length + ITEM_OVERHEAD_CHARACTERS;
    if (this.#characters >= this.#limits.runMostCharacters) this.#spill();
  }

  /** Everything in order, once. */
  async *sorted(): AsyncGenerator<readonly SortItem[]> {
    if (this.#runs.length === 0) {
      yield this.#takeSorted();
      return;
    }
    this.#spill();
    const most = this.#limits.runsMergedMost;
    while (this.#runs.length > most) {
      const merged: Run[] = [];
      for (let from = 0; from < this.#runs.length; from += most) {
        merged.push(await this.#mergeToRun(this.#runs.slice(from, from + most)));
      }
      this.#runs = merged;
    }
    yield* this.#merge(this.#runs);
  }

  /** Gives back memory and file handle; the file goes with the other temporary files. */
  close(): void {
    this.#items = [];
    if (this.#file !== null) closeSync(this.#file);
    this.#file = null;
  }

  #takeSorted(): SortItem[] {
    const items = this.#items.sort(compareItems);
    this.#items = [];
    this.#characters = 0;
    return items;
  }

  #spill(): void {
    const writer = new RunWriter(this.#open(), this.#fileBytes);
    for (const item of this.#takeSorted()) writer.add(item);
    this.#runs.push(this.#ended(writer));
  }

  #open(): number {
    this.#file ??= openSync(this.#temporary.path('sort'), 'wx+', 0o600);
    return this.#file;
  }

  #ended(writer: RunWriter): Run {
    const run = writer.end();
    this.#fileBytes = run.to;
    return run;
  }

  #merge(runs: readonly Run[]): Batches<SortItem> {
    const file = this.#open();
    const inputs = runs.map((run) => readRun(file, run, this.#limits.runChunkBytes));
    return mergeSorted(inputs, compareItems);
  }

  async #mergeToRun(runs: readonly Run[]): Promise<Run> {
    const writer = new RunWriter(this.#open(), this.#fileBytes);
    for await (const items of this.#merge(runs)) for (const item of items) writer.add(item);
    return this.#ended(writer);
  }
}

function compareItems(one: SortItem, other: SortItem): number {
  const difference = one.atMs - other.atMs;
  if (difference !== 0 || one.tie === other.tie) return difference;
  return one.tie < other.tie ? -1 : 1;
}

class RunWriter {
  readonly #file: number;
  readonly #from: number;
  #to: number;
  #text = '';

  constructor(file: number, from: number) {
    this.#file = file;
    this.#from = from;
    this.#to = from;
  }

  add({ atMs, tie, text }: SortItem): void {
    this.#text += `${atMs}${TAB}${tie}${TAB}${text}\n`;
    if (this.#text.length >= WRITE_CHARACTERS) this.#write();
  }

  end(): Run {
    this.#write();
    return { from: this.#from, to: this.#to };
  }

  #write(): void {
    const bytes = Buffer.from(this.#text);
    this.#text = '';
    let written = 0;
    try {
      while (written < bytes.length) {
        const left = bytes.length - written;
        written += writeSync(this.#file, bytes, written, left, this.#to + written);
      }
    } catch (error) {
      throw cannotSort(error);
    }
    this.#to += bytes.length;
  }
}

function cannotSort(error: unknown): CommandFailure {
  const words = error instanceof Error ? error.message : String(error);
  const place = `${tmpdir()}; TMPDIR names another folder`;
  return new CommandFailure(EXIT.badInput, `cannot sort in ${place}: ${words}`, { cause: error });
}

async function* readRun(
  file: number,
  { from, to }: Run,
  chunkBytes: number,
): AsyncGenerator<readonly SortItem[]> {
  const lines = new LineReader(regionBytes(file, from, to), chunkBytes, Number.POSITIVE_INFINITY);
  while (await lines.fill()) {
    const items: SortItem[] = [];
    while (lines.next()) items.push(itemFrom(lines.bytes.toString('utf8', lines.start, lines.end)));
    yield items;
  }
}

function itemFrom(line: string): SortItem {
  const tieFrom = line.indexOf(TAB) + 1;
  const textFrom = line.indexOf(TAB, tieFrom) + 1;
  return {
    atMs: Number(line.slice(0, tieFrom - 1)),
    tie: line.slice(tieFrom, textFrom - 1),
    text: line.slice(textFrom),
  };
}
