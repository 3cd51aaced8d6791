import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { fileBytes } from '../src/backtest/byte-sources.ts';
import { ExternalSort, type SortItem } from '../src/backtest/external-sort.ts';
import { type ByteSource, LineReader } from '../src/backtest/line-reader.ts';
import { mergeSorted } from '../src/backtest/merge-sorted.ts';
import { TemporaryFiles } from '../src/backtest/temporary-files.ts';

/** A source that gives a few bytes at a time. */
function trickle(text: Buffer, sizes: readonly number[]): ByteSource {
  let at = 0;
  let turn = 0;
  return {
    read: async (buffer, offset) => {
      const size = sizes[turn++ % sizes.length] ?? 1;
      const count = text.copy(buffer, offset, at, Math.min(text.length, at + size));
      at += count;
      return count;
    },
    close: async () => undefined,
  };
}

async function linesOf(source: ByteSource, chunkBytes: number, most = 1000): Promise<string[]> {
  const reader = new LineReader(source, chunkBytes, most);
  const lines: string[] = [];
  while (await reader.fill()) {
    while (reader.next()) {
      const text = reader.bytes.toString('utf8', reader.start, reader.end);
      lines.push(`${reader.number} ${reader.tooLong ? 'too long' : text}`);
    }
  }
  return lines;
}

const numbered = (lines: readonly string[]) => lines.map((line, index) => `${index + 1} ${line}`);

describe('reading lines', () => {
  it('gives the same lines however the bytes come', async () => {
    const line = fc.string({ unit: fc.constantFrom('a', '"', 'é', '\r', ' '), maxLength: 40 });
    const sizes = fc.array(fc.integer({ min: 1, max: 30 }), { minLength: 1, maxLength: 5 });
    await fc.assert(
      fc.asyncProperty(fc.array(line), fc.boolean(), sizes, async (lines, ends, chunks) => {
        const text = lines.join('\n') + (ends && lines.length > 0 ? '\n' : '');
        const expected =
          lines.length > 0 && !ends && lines.at(-1) === '' ? lines.slice(0, -1) : lines;
        const read = await linesOf(trickle(Buffer.from(text), chunks), 16);
        expect(read).toEqual(numbered(expected));
      }),
    );
  });

  it('passes over a line that is too long, and over a byte order mark', async () => {
    const text = Buffer.from(`\u{feff}one\n${'x'.repeat(500)}\nthree\n${'y'.repeat(500)}`);
    const expected = numbered(['one', 'too long', 'three', 'too long']);
    expect(await linesOf(trickle(text, [16]), 16, 100)).toEqual(expected);
    expect(await linesOf(trickle(text, [4096]), 4096, 100)).toEqual(expected);
  });
});

describe('merging', () => {
  it('keeps the order, and that of the inputs where items are alike', async () => {
    const input = fc.array(fc.array(fc.integer({ min: 0, max: 9 }), { maxLength: 5 }), {
      maxLength: 4,
    });
    await fc.assert(
      fc.asyncProperty(fc.array(input, { maxLength: 5 }), async (inputs) => {
        const items = inputs.map((batches, order) => {
          const sorted = batches.flat().sort((a, b) => a - b);
          return batches.map((batch) =>
            sorted.splice(0, batch.length).map((at) => ({ at, order })),
          );
        });
        const expected = items.flat(2).sort((a, b) => a.at - b.at || a.order - b.order);
        const sources = items.map(async function* (batches) {
          yield* batches;
        });
        const merged: unknown[] = [];
        for await (const batch of mergeSorted(sources, (a, b) => a.at - b.at))
          merged.push(...batch);
        expect(merged).toEqual(expected);
      }),
    );
  });

  it('closes its inputs when its reader stops', async () => {
    let closed = false;
    async function* endless() {
      try {
        for (let at = 0; ; at++) yield [at];
      } finally {
        closed = true;
      }
    }
    for await (const _ of mergeSorted([endless()], (a, b) => a - b)) break;
    expect(closed).toBe(true);
  });
});

describe('sorting on disk', () => {
  let temporary: TemporaryFiles;
  beforeEach(() => {
    temporary = new TemporaryFiles();
  });
  afterEach(() => temporary.dispose());

  it.each([
    ['in memory', 1_000_000],
    ['over several passes', 1],
  ])('is stable, %s', async (_title, runMostCharacters) => {
    const limits = { runMostCharacters, runsMergedMost: 3, runChunkBytes: 32 };
    const item = fc.record({
      atMs: fc.integer({ min: -2, max: 5 }),
      tie: fc.constantFrom('', 'a b', 'a-b'),
    });
    await fc.assert(
      fc.asyncProperty(fc.array(item, { maxLength: 40 }), async (keys) => {
        const items: SortItem[] = keys.map((key, index) => ({ ...key, text: `{"é":${index}}\t` }));
        const sort = new ExternalSort(temporary, limits);
        for (const each of items) sort.push(each);
        const sorted: SortItem[] = [];
        for await (const batch of sort.sorted()) sorted.push(...batch);
        sort.close();
        const rank = (tie: string) => ['', 'a b', 'a-b'].indexOf(tie);
        const expected = items.toSorted((a, b) => a.atMs - b.atMs || rank(a.tie) - rank(b.tie));
        expect(sorted).toEqual(expected);
      }),
      { numRuns: 50 },
    );
  });
});

describe('temporary files', () => {
  it('are gone at the end, but what was released', () => {
    const files = new TemporaryFiles();
    const path = files.path('x');
    writeFileSync(path, 'text');
    const other = new TemporaryFiles();
    const kept = other.path('kept');
    writeFileSync(kept, 'text');
    files.adopt(kept);
    files.release(kept);
    files.dispose();
    expect([existsSync(path), existsSync(dirname(path)), existsSync(kept)]).toEqual([
      false,
      false,
      true,
    ]);
    other.dispose();
  });

  it('are read back as they were written', async () => {
    const files = new TemporaryFiles();
    const path = files.path('x');
    writeFileSync(path, 'one\ntwo');
    let counted = 0;
    const source = await fileBytes(path, (bytes) => {
      counted += bytes;
    });
    expect(await linesOf(source, 4)).toEqual(['1 one', '2 two']);
    await source.close();
    expect(counted).toBe(readFileSync(path).length);
    files.dispose();
  });
});
