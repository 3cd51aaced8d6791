import { channelAt, channelsIn } from '../sqlite/telemetry/channel-mask.ts';
import { MEASUREMENT } from './influx-options.ts';

/**
 * A tag value as line protocol writes it: comma, equals sign and space are escaped. A backslash at
 * the end would escape what follows, and a line break would begin a line: neither can be written.
 *
 * Source: line protocol reference of InfluxDB.
 *
 * @throws RangeError for a text that line protocol cannot say.
 */
export function tagValue(text: string): string {
  if (text === '' || /[\r\n]/.test(text) || text.endsWith('\\')) {
    throw new RangeError(`Line protocol cannot write the tag ${JSON.stringify(text)}`);
  }
  return text.replace(/[,= ]/g, '\\$&');
}

/** The beginning of every line of one unit: measurement and tags, in the order of their names. */
export function lineHead(site: string, unit: string): string {
  return `${MEASUREMENT},site=${tagValue(site)},unit=${tagValue(unit)} `;
}

/**
 * One reading as a line. Numbers are written as short as they read back the same; without a suffix
 * they are 64-bit floating point, whole ones too.
 *
 * @param head from `lineHead`.
 * @param mask channels to write, at least one.
 * @param rowMask channels whose values stand in `rows` from `at` on.
 */
export function readingLine(
  head: string,
  atMs: number,
  mask: number,
  rowMask: number,
  rows: Float64Array,
  at: number,
): string {
  let line = head;
  let first = true;
  let place = at;
  for (const channel of channelsIn(rowMask)) {
    const value = rows[place++];
    if ((mask & (1 << channel)) === 0) continue;
    line += `${first ? '' : ','}${channelAt(channel)}=${value}`;
    first = false;
  }
  return `${line} ${atMs}`;
}
