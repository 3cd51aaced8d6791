import type { ChannelName, ChannelValues } from './channels.ts';

/** The channels of one event time. */
export interface PackReading {
  /** Event time, whole ms since 1970. */
  readonly atMs: number;
  readonly channels: ChannelValues;
}

type MutableChannels = { -readonly [name in ChannelName]?: number };

/** Gathers values by event time; of two values for one channel and time the first is kept. */
export class ReadingCollector {
  /** Null while there is one time only, as in most packs. */
  #byTime: Map<number, MutableChannels> | null = null;
  readonly #readings: PackReading[] = [];
  #lastAtMs = Number.NaN;
  #lastChannels: MutableChannels = {};
  #inOrder = true;

  add(atMs: number, channel: ChannelName, value: number): void {
    const channels = atMs === this.#lastAtMs ? this.#lastChannels : this.#channelsAt(atMs);
    if (channels[channel] === undefined) channels[channel] = value;
  }

  #channelsAt(atMs: number): MutableChannels {
    if (this.#readings.length > 0) this.#byTime ??= new Map([[this.#lastAtMs, this.#lastChannels]]);
    let channels = this.#byTime?.get(atMs);
    if (channels === undefined) {
      channels = {};
      this.#byTime?.set(atMs, channels);
      const newest = this.#readings.at(-1);
      if (newest !== undefined && newest.atMs > atMs) this.#inOrder = false;
      this.#readings.push({ atMs, channels });
    }
    this.#lastAtMs = atMs;
    this.#lastChannels = channels;
    return channels;
  }

  /** One reading per event time, oldest first. */
  readings(): readonly PackReading[] {
    return this.#inOrder ? this.#readings : this.#readings.sort((a, b) => a.atMs - b.atMs);
  }
}
