import { amperesFromMilliamperes, type ChannelName, isPlausible } from '@lineside/readings';
import type { Place } from './known-places.ts';
import { LINE_CHANNELS, type LineChannel } from './line-channels.ts';
import type { Refusals } from './refusals.ts';
import { RANK, type TestEvent } from './test-event.ts';

/** The values of one line as they are written, before they are judged plausible. */
export class LineValues {
  readonly #values: Float64Array = new Float64Array(LINE_CHANNELS.length);
  readonly #channels: LineChannel[] = [];
  #count = 0;

  clear(): void {
    this.#count = 0;
  }

  add(channel: LineChannel, value: number): void {
    this.#channels[this.#count] = channel;
    this.#values[this.#count] = value;
    this.#count += 1;
  }

  /** The line as an event; implausible values are left out and counted. */
  toEvent(place: Place, atMs: number, line: number, refusals: Refusals): TestEvent {
    const { site, unit, isWeather } = place;
    let channels: { [name in ChannelName]?: number } | null = null;
    for (let index = 0; index < this.#count; index++) {
      const one = this.#channels[index];
      const written = this.#values[index];
      if (one === undefined || written === undefined) continue;
      if (!(isWeather ? one.ofWeather : one.ofUnit)) continue;
      channels ??= {};
      // Adding 0 turns -0 into 0.
      const value = (one.inMilliamperes ? amperesFromMilliamperes(written) : written) + 0;
      if (isPlausible(one.channel, value) && !(one.isBoolean && value !== 0 && value !== 1)) {
        channels[one.channel.name] = value;
      } else {
        refusals.add('implausible', line, () => `${one.channel.name} ${written}`);
      }
    }
    const rank = isWeather ? RANK.weather : RANK.reading;
    return { rank, site, unit, atMs, channels, service: null };
  }
}
