import { CHANNEL_NAMES, type ChannelName } from './channels.ts';

/** Who sends a channel: a unit's node, an outdoor station, or both. */
export type ChannelSender = 'unit' | 'weather' | 'both';

/** What one channel may carry. */
export interface Channel {
  readonly name: ChannelName;
  /** Unit of the stored value, a SenML unit (RFC 8428 section 12.1); `null` for a boolean. */
  readonly unit: string | null;
  /** Other units that are taken, with what a value is divided by to get `unit`. */
  readonly otherUnits: readonly { readonly unit: string; readonly divisor: number }[];
  readonly kind: 'number' | 'boolean';
  /** Plausible range in `unit`, both ends included. */
  readonly lowest: number;
  readonly highest: number;
  readonly sender: ChannelSender;
  readonly meaning: string;
}

type Line = readonly [
  unit: string | null,
  lowest: number,
  highest: number,
  sender: ChannelSender,
  meaning: string,
];

/**
 * Ranges of a unit's channels are agreed with node makers. Those of the outdoor-only channels are
 * generous bounds around what weather does on Earth (common practice, no source).
 */
const LINES: Readonly<Record<ChannelName, Line>> = {
  rh: ['%RH', 0, 100, 'both', 'relative humidity over liquid water'],
  t: ['Cel', -60, 110, 'both', 'air temperature'],
  tp: ['Cel', -60, 110, 'unit', 'temperature of the contactor back-plate'],
  leak: ['A', 0, 10, 'unit', 'leakage to ground, RMS of the sum of the phase currents'],
  leakr: ['A', 0, 10, 'unit', 'mains-frequency resistive component of the leakage'],
  leakmax: ['A', 0, 100, 'unit', 'highest leakage within the reporting interval'],
  bursts: ['count', 0, 1e6, 'unit', 'dry-band bursts within the reporting interval'],
  ia: ['A', 0, 2000, 'unit', 'current of phase a, RMS'],
  ib: ['A', 0, 2000, 'unit', 'current of phase b, RMS'],
  ic: ['A', 0, 2000, 'unit', 'current of phase c, RMS'],
  vab: ['V', 0, 1000, 'unit', 'voltage a to b'],
  vbc: ['V', 0, 1000, 'unit', 'voltage b to c'],
  vca: ['V', 0, 1000, 'unit', 'voltage c to a'],
  van: ['V', 0, 1000, 'unit', 'voltage of phase a to ground, after the fuses'],
  vbn: ['V', 0, 1000, 'unit', 'voltage of phase b to ground, after the fuses'],
  vcn: ['V', 0, 1000, 'unit', 'voltage of phase c to ground, after the fuses'],
  door: [null, 0, 1, 'unit', 'compartment door open'],
  batt: ['V', 0, 60, 'unit', 'supply of the node'],
  wind: ['m/s', 0, 150, 'weather', 'wind speed'],
  winddir: ['deg', 0, 360, 'weather', 'direction the wind comes from'],
  rain: ['mm', 0, 2000, 'weather', 'rain since the last report'],
  snow: ['mm', 0, 2000, 'weather', 'snow since the last report, as water'],
  p: ['Pa', 30_000, 120_000, 'weather', 'air pressure'],
};

/** `mA` is a secondary unit (RFC 8798). Dividing keeps 4.2 mA at exactly 0.0042 A. */
const MILLIAMPERE = { unit: 'mA', divisor: 1000 } as const;

function channelFrom(name: ChannelName): Channel {
  const [unit, lowest, highest, sender, meaning] = LINES[name];
  return {
    name,
    unit,
    otherUnits: unit === 'A' ? [MILLIAMPERE] : [],
    kind: unit === null ? 'boolean' : 'number',
    lowest,
    highest,
    sender,
    meaning,
  };
}

/** Every channel, in storage order. */
export const CHANNELS: readonly Channel[] = CHANNEL_NAMES.map(channelFrom);

const BY_NAME: ReadonlyMap<string, Channel> = new Map(CHANNELS.map((one) => [one.name, one]));

/** The channel of that name whoever sends it; `null` when there is none. */
export function channelNamed(name: string): Channel | null {
  return BY_NAME.get(name) ?? null;
}

/** Whether `channel` is listed for an outdoor station (`weather`) or for a unit's node. */
export function sentBy(channel: Channel, weather: boolean): boolean {
  return channel.sender === 'both' || (channel.sender === 'weather') === weather;
}

/**
 * What a value in `unit` is divided by to get the channel's own unit: 1 for that unit itself,
 * `null` when the unit does not fit or is missing (4.2 without a unit may be A or mA).
 */
export function divisorFor(channel: Channel, unit: string | null): number | null {
  if (unit === channel.unit) return 1;
  for (const other of channel.otherUnits) if (other.unit === unit) return other.divisor;
  return null;
}

/** Whether `value`, in the channel's own unit, lies in the plausible range; NaN does not. */
export function isPlausible(channel: Channel, value: number): boolean {
  return value >= channel.lowest && value <= channel.highest;
}
