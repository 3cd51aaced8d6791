import {
  type ChannelName,
  type ChannelValues,
  encodeSenmlCbor,
  encodeSenmlJson,
  type Reading,
} from '@lineside/readings';
import type { Chance } from './chance.ts';
import type { NodeMessage } from './simulated-node.ts';
import { TROUBLED_MS, type Troubles } from './troubles.ts';

/** When a history is sent: its event times are pressed into the troubled minutes. */
export interface Pace {
  /** Virtual time at which sending begins, ms. */
  readonly startMs: number;
  readonly fromEventMs: number;
  readonly toEventMs: number;
}

/** The virtual time (ms) at which something of that event time becomes known. */
export function wallMs(pace: Pace, eventMs: number): number {
  const { startMs, fromEventMs, toEventMs } = pace;
  const part = (eventMs - fromEventMs) / Math.max(1, toEventMs - fromEventMs);
  return Math.floor(startMs + part * TROUBLED_MS);
}

/**
 * Splits the readings of one node over messages: some readings each, channels of one instant now
 * and then in different messages, some late, and some that say something else about an instant
 * that another message is about.
 */
export function messagesOf(
  chance: Chance,
  readings: readonly Reading[],
  pace: Pace,
  troubles: Troubles,
): readonly NodeMessage[] {
  const messages: NodeMessage[] = [];
  const most = chance.pick([1, 1, 4, 12, 60]);
  const splits = chance.pick([0, 0.1, 0.5]);
  const isNewestFirst = chance.happens(0.15);
  for (let from = 0; from < readings.length; ) {
    const count = chance.whole(1, most);
    const some = readings.slice(from, from + count);
    from += count;
    const dueMs = Math.max(...some.map(({ atMs }) => wallMs(pace, atMs)));
    const parts = chance.happens(splits) ? splitChannels(chance, some) : [some];
    if (chance.happens(0.01)) parts.push(contradicting(some));
    for (const part of parts) {
      const isLate = chance.happens(troubles.late);
      const lateMs = isLate ? chance.whole(1, troubles.latestMs) : 0;
      const mirroredMs = 2 * pace.startMs + TROUBLED_MS - dueMs;
      const fromMs = Math.min(
        pace.startMs + TROUBLED_MS,
        (isNewestFirst ? mirroredMs : dueMs) + lateMs,
      );
      messages.push(packMessage(chance, part, fromMs));
    }
    if (chance.happens(0.005)) messages.push(noPack(some, dueMs));
  }
  return messages.filter(({ readings: own }) => own === null || own.length > 0);
}

function packMessage(chance: Chance, readings: readonly Reading[], fromMs: number): NodeMessage {
  const encode = chance.happens(0.5) ? encodeSenmlJson : encodeSenmlCbor;
  const [first] = readings;
  const { site, unit } = first ?? { site: '', unit: '' };
  const payload = encode('node:', chance.happens(0.2) ? chance.shuffled(readings) : readings);
  return { site, unit, payload, readings, fromMs };
}

function noPack(readings: readonly Reading[], fromMs: number): NodeMessage {
  const { site, unit } = readings[0] ?? { site: '', unit: '' };
  const payload = new TextEncoder().encode(`[{"n":"leak","v":"no number at ${fromMs}"}]`);
  return { site, unit, payload, readings: null, fromMs };
}

/** Every channel goes into one of two messages. */
function splitChannels(chance: Chance, readings: readonly Reading[]): (readonly Reading[])[] {
  const inFirst = new Map<string, boolean>();
  const isFirst = (name: string): boolean => {
    const known = inFirst.get(name) ?? chance.happens(0.5);
    inFirst.set(name, known);
    return known;
  };
  const part = (wanted: boolean): Reading[] =>
    readings
      .map((reading) => ({
        ...reading,
        channels: only(reading.channels, (name) => isFirst(name) === wanted),
      }))
      .filter(({ channels }) => Object.keys(channels).length > 0);
  return [part(true), part(false)];
}

function only(channels: ChannelValues, keep: (name: string) => boolean): ChannelValues {
  const entries = Object.entries(channels).filter(([name]) => keep(name));
  return Object.fromEntries(entries) as { [name in ChannelName]?: number };
}

/** The same instants with another humidity: whichever is stored first counts. */
function contradicting(readings: readonly Reading[]): readonly Reading[] {
  return readings.map((reading) => ({ ...reading, channels: { ...reading.channels, rh: 64 } }));
}
