import { CHANNELS, type Channel, sentBy } from '@lineside/readings';

/** How a channel is written in a line. */
export interface LineChannel {
  readonly channel: Channel;
  /** Place in the channel table. */
  readonly index: number;
  readonly inMilliamperes: boolean;
  readonly isBoolean: boolean;
  readonly ofUnit: boolean;
  readonly ofWeather: boolean;
}

/** Written in mA in lines, though kept in A. */
const IN_MILLIAMPERES: ReadonlySet<string> = new Set(['leak', 'leakr', 'leakmax']);

export const LINE_CHANNELS: readonly LineChannel[] = CHANNELS.map((channel, index) => ({
  channel,
  index,
  inMilliamperes: IN_MILLIAMPERES.has(channel.name),
  isBoolean: channel.kind === 'boolean',
  ofUnit: sentBy(channel, false),
  ofWeather: sentBy(channel, true),
}));
