/** The words of a timeline: what they set, in which units, and how far they may go. */
import type { ChannelName } from '@lineside/readings';

export interface Quantity {
  readonly words: string;
  /** One value, or three with `/` between them. */
  readonly channels: readonly [ChannelName] | readonly [ChannelName, ChannelName, ChannelName];
  /** Units a technician may write, and how many make one of the channel's. The first is usual. */
  readonly units: Readonly<Record<string, number>>;
  /** In the channel's unit. */
  readonly least: number;
  readonly most: number;
}

const PERCENT = { '%RH': 1, '%': 1 };
const CELSIUS = { C: 1 };
const VOLTS = { V: 1 };
const AMPS = { A: 1 };
const LEAKAGE = { mA: 1000, A: 1 };
const CURRENTS = ['ia', 'ib', 'ic'] as const;

/** A current from here on no control transformer or crankcase heater draws (common practice). */
const MOST_IDLE_AMPS = 1.4;

/** Longer words first: `leak peak` begins like `leak`. */
export const COMPARTMENT_QUANTITIES: readonly Quantity[] = [
  { words: 'volts to ground', channels: ['van', 'vbn', 'vcn'], units: VOLTS, least: 0, most: 1000 },
  { words: 'leak resistive', channels: ['leakr'], units: LEAKAGE, least: 0, most: 10 },
  { words: 'leak peak', channels: ['leakmax'], units: LEAKAGE, least: 0, most: 100 },
  { words: 'humidity', channels: ['rh'], units: PERCENT, least: 0, most: 100 },
  { words: 'currents', channels: CURRENTS, units: AMPS, least: 0, most: 2000 },
  { words: 'battery', channels: ['batt'], units: VOLTS, least: 0, most: 60 },
  { words: 'running', channels: CURRENTS, units: AMPS, least: 0, most: 2000 },
  { words: 'bursts', channels: ['bursts'], units: {}, least: 0, most: 1e6 },
  { words: 'plate', channels: ['tp'], units: CELSIUS, least: -60, most: 110 },
  { words: 'volts', channels: ['vab', 'vbc', 'vca'], units: VOLTS, least: 0, most: 1000 },
  { words: 'leak', channels: ['leak'], units: LEAKAGE, least: 0, most: 10 },
  { words: 'idle', channels: CURRENTS, units: AMPS, least: 0, most: MOST_IDLE_AMPS },
  { words: 'air', channels: ['t'], units: CELSIUS, least: -60, most: 110 },
];

/** Rain and snow are written as a rate; a report carries what fell since the last one. */
export const OUTDOOR_QUANTITIES: readonly Quantity[] = [
  { words: 'humidity', channels: ['rh'], units: PERCENT, least: 0, most: 100 },
  { words: 'pressure', channels: ['p'], units: { hPa: 0.01, Pa: 1 }, least: 5e4, most: 1.1e5 },
  { words: 'rain', channels: ['rain'], units: { 'mm/h': 1 }, least: 0, most: 300 },
  { words: 'snow', channels: ['snow'], units: { 'mm/h': 1 }, least: 0, most: 300 },
  { words: 'wind', channels: ['wind'], units: { 'm/s': 1 }, least: 0, most: 100 },
  { words: 'air', channels: ['t'], units: CELSIUS, least: -60, most: 60 },
];

/** Control transformer and crankcase heater on phases A and B, A. Common practice, no source. */
export const USUAL_IDLE_AMPS: readonly [number, number, number] = [0.42, 0.41, 0.01];
