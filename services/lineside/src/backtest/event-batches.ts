import { ExternalSort, type SortLimits } from './external-sort.ts';
import { FastLines } from './fast-line.ts';
import { cannotRead, type InputFile, inputBytes } from './input-file.ts';
import { type LineContext, readJsonLine } from './json-line.ts';
import { LINE_MOST_BYTES, LineReader } from './line-reader.ts';
import { LineValues } from './line-values.ts';
import { Refusals } from './refusals.ts';
import type { TemporaryFiles } from './temporary-files.ts';
import type { TestEvent } from './test-event.ts';

/** An input turned out not to be in order of event time. */
export class OutOfOrder extends Error {
  readonly input: InputFile;

  constructor(input: InputFile, line: number) {
    super(`${input.name}:${line}: older than the line before`);
    this.name = 'OutOfOrder';
    this.input = input;
  }
}

export interface EventSource {
  readonly input: InputFile;
  readonly context: LineContext;
  readonly chunkBytes: number;
  /** Hears of bytes of the file as they are read. */
  readonly counted: (bytes: number) => void;
}

type OnEvent = (event: TestEvent, lines: LineReader) => void;

/**
 * The events of an input that is in order of event time.
 *
 * @throws OutOfOrder when it is not.
 */
export async function* eventsInOrder(source: EventSource): AsyncGenerator<readonly TestEvent[]> {
  let lastMs = Number.NEGATIVE_INFINITY;
  let events: TestEvent[] = [];
  const take: OnEvent = (event, lines) => {
    if (event.atMs < lastMs) throw new OutOfOrder(source.input, lines.number);
    lastMs = event.atMs;
    events.push(event);
  };
  for await (const _ of readChunks(source, take)) {
    yield events;
    events = [];
  }
}

/** The events of an input in any order: its lines are sorted, on disk when they are many. */
export async function* eventsSorted(
  source: EventSource,
  temporary: TemporaryFiles,
  limits: SortLimits,
): AsyncGenerator<readonly TestEvent[]> {
  const sort = new ExternalSort(temporary, limits);
  try {
    const take: OnEvent = ({ atMs }, { bytes, start, end }) =>
      sort.push({ atMs, tie: '', text: bytes.toString('utf8', start, end) });
    for await (const _ of readChunks(source, take)) {
      // Each chunk's lines are in `sort` now.
    }
    // What was refused has been counted; the lines that are left are read once more.
    const context = { ...source.context, refusals: new Refusals(source.input.name) };
    const values = new LineValues();
    for await (const items of sort.sorted()) {
      yield items.flatMap(({ text }) => readJsonLine(text, 0, context, values) ?? []);
    }
  } finally {
    sort.close();
  }
}

/** Reads every line; yields after each chunk of the file. */
async function* readChunks(source: EventSource, take: OnEvent): AsyncGenerator<void> {
  const bytes = await inputBytes(source.input, source.counted);
  const lines = new LineReader(bytes, source.chunkBytes);
  const reader = new EventReader(source.context);
  try {
    while (await filled(lines, source.input)) {
      while (lines.next()) {
        const event = reader.read(lines);
        if (event !== null) take(event, lines);
      }
      yield;
    }
  } finally {
    await bytes.close();
  }
}

async function filled(lines: LineReader, input: InputFile): Promise<boolean> {
  try {
    return await lines.fill();
  } catch (error) {
    throw cannotRead(input.name, error);
  }
}

/** Lines to events, the usual ones fast. */
class EventReader {
  readonly #context: LineContext;
  readonly #values: LineValues = new LineValues();
  readonly #fast: FastLines | null;

  constructor(context: LineContext) {
    this.#context = context;
    this.#fast = context.kind === 'service' ? null : new FastLines(context, this.#values);
  }

  read({ bytes, start, end, number, tooLong }: LineReader): TestEvent | null {
    if (tooLong) {
      const words = (): string => `more than ${LINE_MOST_BYTES} bytes`;
      this.#context.refusals.add('too-long', number, words);
      return null;
    }
    const event = this.#fast?.read(bytes, start, end, number) ?? null;
    if (event !== null) return event;
    const text = bytes.toString('utf8', start, end);
    // Blank lines are no mistake: files are joined and end in them.
    if (text.trim() === '') return null;
    return readJsonLine(text, number, this.#context, this.#values);
  }
}
