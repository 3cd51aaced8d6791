import { CHANNEL_COUNT, type ChannelMask, channelsIn } from './channel-mask.ts';

const FIELDS = 4;
const MIN = 0;
const MAX = 1;
const SUM = 2;
const COUNT = 3;

/** Minimum, maximum, sum and count of each channel in one quarter of an hour of one unit. */
export class QuarterTotals {
  readonly #fields = new Float64Array(CHANNEL_COUNT * FIELDS);
  #mask: ChannelMask = 0;

  /** Channels with at least one value. */
  get mask(): ChannelMask {
    return this.#mask;
  }

  clear(): void {
    this.#mask = 0;
  }

  /** Adds the values of `fresh`, out of a row that holds the values of `mask` from `at` on. */
  add(fresh: ChannelMask, mask: ChannelMask, rows: Float64Array, at: number): void {
    const fields = this.#fields;
    let place = at;
    for (const channel of channelsIn(mask)) {
      const value = rows[place++] ?? Number.NaN;
      const bit = 1 << channel;
      if ((fresh & bit) === 0) continue;
      const base = channel * FIELDS;
      if ((this.#mask & bit) === 0) {
        this.#mask |= bit;
        fields[base + MIN] = value;
        fields[base + MAX] = value;
        fields[base + SUM] = value;
        fields[base + COUNT] = 1;
        continue;
      }
      if (value < (fields[base + MIN] ?? 0)) fields[base + MIN] = value;
      if (value > (fields[base + MAX] ?? 0)) fields[base + MAX] = value;
      fields[base + SUM] = (fields[base + SUM] ?? 0) + value;
      fields[base + COUNT] = (fields[base + COUNT] ?? 0) + 1;
    }
  }

  /** Appends the four numbers of each channel of `mask` in storage order. */
  appendTo(parameters: (number | null)[]): void {
    for (const channel of channelsIn(this.#mask)) {
      const base = channel * FIELDS;
      for (let field = 0; field < FIELDS; field++) {
        parameters.push(this.#fields[base + field] ?? null);
      }
    }
  }
}
