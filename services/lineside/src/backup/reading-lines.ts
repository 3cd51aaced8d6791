import { once } from 'node:events';
import { createReadStream, createWriteStream } from 'node:fs';
import { createInterface } from 'node:readline';
import { pipeline } from 'node:stream/promises';
import { createGunzip, createGzip, constants as zlib } from 'node:zlib';
import { CHANNEL_NAMES, type ChannelName, ID_PATTERN, type Reading } from '@lineside/readings';
import { z } from 'zod';

/*
 * One JSON object a line, values exactly as they are stored, in the units of the channel table:
 * {"site":"harbour-mall","unit":"rtu-01","atMs":1767225600000,"channels":{"rh":71.2,"leak":0.0019}}
 */

/** Readings handed on at once: a quarter of a megabyte of lines, far below what a store takes. */
const BATCH_READINGS = 5_000;

/** 1 KiB holds all channels; anything longer is no line of ours and must not fill memory. */
const MOST_LINE_CHARACTERS = 4_096;

const CHANNELS: ReadonlySet<string> = new Set(CHANNEL_NAMES);

const id = z.string().regex(ID_PATTERN);
const line = z.object({
  site: id,
  unit: id,
  atMs: z.int().nonnegative(),
  channels: z.record(z.string(), z.number()),
});

export interface LineCounts {
  readonly readings: number;
  readonly values: number;
}

/** Writes gzipped lines of all readings; memory does not grow with their number. */
export async function writeLines(
  file: string,
  batches: AsyncIterable<readonly Reading[]>,
): Promise<LineCounts> {
  const zip = createGzip({ level: zlib.Z_BEST_SPEED });
  const written = pipeline(zip, createWriteStream(file, { mode: 0o600 }));
  // Awaited at the end; until then a failure shows at the zip.
  written.catch(() => {});
  let readings = 0;
  let values = 0;
  for await (const batch of batches) {
    let text = '';
    for (const { site, unit, atMs, channels } of batch) {
      text += `${JSON.stringify({ site, unit, atMs, channels })}\n`;
      values += Object.keys(channels).length;
    }
    readings += batch.length;
    if (!zip.write(text)) await Promise.race([once(zip, 'drain'), written]);
  }
  zip.end();
  await written;
  return { readings, values };
}

/** @throws RangeError naming the line that cannot be taken. */
export async function* readLines(file: string): AsyncGenerator<readonly Reading[]> {
  const input = createReadStream(file);
  const zip = createGunzip();
  input.on('error', (error) => zip.destroy(error));
  const lines = createInterface({ input: input.pipe(zip), crlfDelay: Infinity });
  let failure: Error | null = null;
  zip.on('error', (error) => {
    failure = error;
    lines.close();
  });
  let batch: Reading[] = [];
  let number = 0;
  for await (const text of lines) {
    number += 1;
    batch.push(readingOf(text, number));
    if (batch.length < BATCH_READINGS) continue;
    yield batch;
    batch = [];
  }
  if (failure !== null) throw failure;
  if (batch.length > 0) yield batch;
}

function readingOf(text: string, number: number): Reading {
  if (text.length > MOST_LINE_CHARACTERS) throw new RangeError(`line ${number} is too long`);
  const parsed = line.safeParse(JSON.parse(text));
  if (!parsed.success) throw new RangeError(`line ${number} is no reading`);
  const { site, unit, atMs, channels } = parsed.data;
  const known: { [name in ChannelName]?: number } = {};
  for (const [name, value] of Object.entries(channels)) {
    if (isChannel(name)) known[name] = value;
  }
  return { site, unit, atMs, channels: known };
}

function isChannel(name: string): name is ChannelName {
  return CHANNELS.has(name);
}
