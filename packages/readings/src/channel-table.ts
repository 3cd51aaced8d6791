import { CHANNEL_NAMES, type ChannelName } from './channels.ts';

/** Who sends a channel: a unit's node, an outdoor station, or both. */
export type ChannelSender = 'unit' | 'weather' | 'both';

/** What one channel may carry. */
export interface Channel {
  readonly name: ChannelName;
  /** Unit of the stored value, a SenML unit (RFC 8428 section 12.1); `null` for a boolean. */
  readonly unit: string | null;
  /** Other units that are taken; `toChannelUnit` converts them. */
  readonly otherUnits: readonly string[];
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

/** A secondary unit of RFC 8798, taken wherever a channel is in amperes. */
const MILLIAMPERE = 'mA';

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

export const CHANNEL_NAME_MOST_CHARACTERS: number = Math.max(
  ...CHANNELS.map(({ name }) => name.length),
);

/** The channel of that name whoever sends it; `null` when there is none. */
export function channelNamed(name: string): Channel | null {
  return BY_NAME.get(name) ?? null;
}

/** Whether `channel` is listed for an outdoor station (`weather`) or for a unit's node. */
export function sentBy(channel: Channel, weather: boolean): boolean {
  return channel.sender === 'both' || (channel.sender === 'weather') === weather;
}

/**
 * `value` in the channel's own unit; `null` when its unit does not fit or is missing (4.2 without
 * a unit may be A or mA).
 */
export function toChannelUnit(channel: Channel, value: number, unit: string | null): number | null {
  if (unit === channel.unit) return value;
  return channel.unit === 'A' && unit === MILLIAMPERE ? amperesFromMilliamperes(value) : null;
}

/** Picoamperes, the finest decimal step that `amperesFromMilliamperes` looks for. */
const STEPS_PER_MILLIAMPERE = 1e9;
const STEPS_PER_AMPERE = 1e12;
/** Relative error that one division and one multiplication in doubles may leave. */
const ROUNDING_ERROR = 2 ** -51;

/**
 * Milliamperes as amperes. 4.2 mA is 0.0042 A, as it is written, where 4.2 / 1000 in doubles is
 * 0.004200000000000001: the nearest decimal is taken where it lies within the rounding error.
 * Everything that converts mA must go through here, so that equal readings stay equal.
 */
export function amperesFromMilliamperes(milliamperes: number): number {
  const quotient = milliamperes / 1000;
  const decimal = Math.round(milliamperes * STEPS_PER_MILLIAMPERE) / STEPS_PER_AMPERE;
  const isRounding = Math.abs(decimal - quotient) <= Math.abs(quotient) * ROUNDING_ERROR;
  return isRounding ? decimal : quotient;
}

/** Whether `value`, in the channel's own unit, lies in the plausible range; NaN does not. */
export function isPlausible(channel: Channel, value: number): boolean {
  return value >= channel.lowest && value <= channel.highest;
}
