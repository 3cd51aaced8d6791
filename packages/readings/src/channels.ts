/**
 * The channels that a node or an outdoor station may send, with unit and plausible range.
 *
 * Values are kept in the units named here (SI amperes, volts, degrees Celsius, per cent relative
 * humidity over liquid water). `door` is 0 (closed) or 1 (open).
 */

/** Every channel of a unit's node or of an outdoor station. The order is the storage order. */
export const CHANNEL_NAMES = [
  'rh',
  't',
  'tp',
  'leak',
  'leakr',
  'leakmax',
  'bursts',
  'ia',
  'ib',
  'ic',
  'vab',
  'vbc',
  'vca',
  'van',
  'vbn',
  'vcn',
  'door',
  'batt',
  'wind',
  'winddir',
  'rain',
  'snow',
  'p',
] as const;

export type ChannelName = (typeof CHANNEL_NAMES)[number];

/** Values of one reading; a channel that was not sent is absent. */
export type ChannelValues = { readonly [name in ChannelName]?: number };

/** All channels of one unit at one event time. `unit` is `weather` for an outdoor station. */
export interface Reading {
  readonly site: string;
  readonly unit: string;
  /** Event time, milliseconds since 1970-01-01T00:00:00Z. */
  readonly atMs: number;
  readonly channels: ChannelValues;
}

/** The reserved unit id of a site's outdoor station. */
export const WEATHER_UNIT = 'weather';
