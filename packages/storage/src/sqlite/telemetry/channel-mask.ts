import { CHANNEL_NAMES, type ChannelName } from '@lineside/readings';

/** A set of channels as bits; bit n stands for `CHANNEL_NAMES[n]`. */
export type ChannelMask = number;

export const CHANNEL_COUNT: number = CHANNEL_NAMES.length;

/** Bit operations are exact for 31 channels. */
export const ALL_CHANNELS: ChannelMask = 2 ** CHANNEL_COUNT - 1;

const INDEX: ReadonlyMap<string, number> = new Map(CHANNEL_NAMES.map((name, at) => [name, at]));

/** Place of the channel in storage order; `undefined` when there is no such channel. */
export function channelIndex(name: string): number | undefined {
  return INDEX.get(name);
}

/** Name of the channel at that place. */
export function channelAt(index: number): ChannelName {
  const name = CHANNEL_NAMES[index];
  if (name === undefined) throw new RangeError(`There is no channel number ${index}`);
  return name;
}

/** The mask of the named channels. */
export function maskOf(names: readonly ChannelName[]): ChannelMask {
  let mask = 0;
  for (const name of names) mask |= 1 << (INDEX.get(name) ?? 31);
  return mask & ALL_CHANNELS;
}

const indexes = new Map<ChannelMask, readonly number[]>();
/** Nodes of a fleet send a handful of channel sets; more are worked out again. */
const MOST_REMEMBERED_MASKS = 1_000;

/** Places of the mask's channels, ascending. */
export function channelsIn(mask: ChannelMask): readonly number[] {
  const known = indexes.get(mask);
  if (known !== undefined) return known;
  const list: number[] = [];
  for (let index = 0; index < CHANNEL_COUNT; index++) if (mask & (1 << index)) list.push(index);
  if (indexes.size >= MOST_REMEMBERED_MASKS) indexes.clear();
  indexes.set(mask, list);
  return list;
}
