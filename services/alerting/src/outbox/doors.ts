import type { ChannelKind } from '@lineside/storage';
import { Breaker, CHANNEL_BREAKER, DOOR_BREAKER, type Pass } from './breaker.ts';

/** What a try goes through: the channel, and what stands behind the address. */
export interface Way {
  readonly channel: ChannelKind;
  readonly door: string;
}

export interface PassedWay extends Way {
  readonly channelPass: Pass;
  readonly doorPass: Pass;
}

/** The breakers of all channels and doors; those of doors that are well are not kept. */
export class Doors {
  readonly #channels = new Map<ChannelKind, Breaker>();
  readonly #doors = new Map<string, Breaker>();

  /** Null: the way is open. Else when to ask again. */
  waitUntilMs({ channel, door }: Way, nowMs: number): number | null {
    const byChannel = this.#channels.get(channel)?.waitUntilMs(nowMs) ?? null;
    const byDoor = this.#doors.get(keyOf(channel, door))?.waitUntilMs(nowMs) ?? null;
    if (byChannel === null || byDoor === null) return byChannel ?? byDoor;
    return Math.max(byChannel, byDoor);
  }

  /** Only after `waitUntilMs` gave null; `answered`, `failed` or `unused` must follow. */
  pass(way: Way): PassedWay {
    return {
      ...way,
      channelPass: this.#channelOf(way).pass(),
      doorPass: this.#doorOf(way).pass(),
    };
  }

  answered(way: PassedWay): void {
    this.#channelOf(way).answered();
    this.#doors.get(keyOf(way.channel, way.door))?.answered();
    this.#doors.delete(keyOf(way.channel, way.door));
  }

  failed(way: PassedWay, nowMs: number): void {
    this.#channelOf(way).failed(way.channelPass, way.door, nowMs);
    this.#doorOf(way).failed(way.doorPass, way.door, nowMs);
  }

  unused(way: PassedWay): void {
    this.#channelOf(way).unused(way.channelPass);
    this.#doorOf(way).unused(way.doorPass);
  }

  /** Names of channels and doors that cannot be reached. */
  closed(): readonly string[] {
    const closed = [...this.#channels, ...this.#doors].filter(([, { isOpen }]) => isOpen);
    return closed.map(([name]) => name);
  }

  #channelOf({ channel }: Way): Breaker {
    const known = this.#channels.get(channel) ?? new Breaker(CHANNEL_BREAKER);
    this.#channels.set(channel, known);
    return known;
  }

  #doorOf({ channel, door }: Way): Breaker {
    const key = keyOf(channel, door);
    const known = this.#doors.get(key) ?? new Breaker(DOOR_BREAKER);
    this.#doors.set(key, known);
    return known;
  }
}

function keyOf(channel: ChannelKind, door: string): string {
  return `${channel} ${door}`;
}
