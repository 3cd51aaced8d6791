import type { ChannelName, ChannelValues } from '@lineside/readings';

/**
 * Channels of one instant from two messages: what was there first wins, as in the store. Returns
 * `first` itself when `later` adds nothing.
 */
export function mergeChannels(first: ChannelValues, later: ChannelValues): ChannelValues {
  let merged: { [name in ChannelName]?: number } | null = null;
  for (const name of Object.keys(later) as ChannelName[]) {
    const value = later[name];
    if (value === undefined || first[name] !== undefined) continue;
    merged ??= { ...first };
    merged[name] = value;
  }
  return merged ?? first;
}
