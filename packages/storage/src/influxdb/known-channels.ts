import { CHANNEL_NAMES, type ChannelName } from '@lineside/readings';
import { StoreError } from '../ports/store-error.ts';
import type { InfluxConnection } from './influx-connection.ts';
import { channelsStatement } from './influxql.ts';
import type { AnswerSeries } from './query-answer.ts';

/** Channels that have ever been written; all there are when the server does not tell. */
export async function knownChannels(connection: InfluxConnection): Promise<readonly ChannelName[]> {
  const found = await unlessUnknown(() => connection.query([channelsStatement()]));
  if (found === null) return CHANNEL_NAMES;
  const names = new Set(found.flat().flatMap(firstColumn));
  return CHANNEL_NAMES.filter((name) => names.has(name));
}

/** Null when the server does not know the statement. */
export async function unlessUnknown<T>(ask: () => Promise<T>): Promise<T | null> {
  try {
    return await ask();
  } catch (error) {
    const isUnknown = /error parsing query|not supported|not implemented/i;
    if (error instanceof StoreError && isUnknown.test(error.message)) return null;
    throw error;
  }
}

function firstColumn({ values }: AnswerSeries): string[] {
  return values.map(([name]) => String(name));
}
