/** Numbers with their units, as people in the trade write them. */

const NO_BREAK_SPACE = '\u00a0';
const MINUS = '\u2212';

/** `value` with `decimals` places, a real minus sign, and the unit kept on the same line. */
export function quantity(value: number, unit: string, decimals: number): string {
  const digits = Math.abs(value).toFixed(decimals);
  const sign = value < 0 && Number(digits) !== 0 ? MINUS : '';
  return unit === '' ? `${sign}${digits}` : `${sign}${digits}${NO_BREAK_SPACE}${unit}`;
}

/** Leakage in mA: two digits below 10 mA matter, decimals above 100 mA do not. */
export function milliamps(value: number): string {
  return quantity(value, 'mA', Math.abs(value) < 99.95 ? 1 : 0);
}

/** How one telemetry channel is shown. `scale` turns the stored unit into the shown one. */
export interface ChannelPresentation {
  readonly label: string;
  readonly unit: string;
  readonly scale: number;
  readonly decimals: number;
}

const CHANNELS: Readonly<Record<string, ChannelPresentation>> = {
  rh: { label: 'humidity inside', unit: '%RH', scale: 1, decimals: 0 },
  t: { label: 'air inside', unit: '°C', scale: 1, decimals: 1 },
  tp: { label: 'back-plate', unit: '°C', scale: 1, decimals: 1 },
  leak: { label: 'leakage to ground', unit: 'mA', scale: 1000, decimals: 1 },
  leakr: { label: 'resistive part', unit: 'mA', scale: 1000, decimals: 1 },
  leakmax: { label: 'highest within the interval', unit: 'mA', scale: 1000, decimals: 1 },
  ia: { label: 'phase A', unit: 'A', scale: 1, decimals: 1 },
  ib: { label: 'phase B', unit: 'A', scale: 1, decimals: 1 },
  ic: { label: 'phase C', unit: 'A', scale: 1, decimals: 1 },
  vab: { label: 'A to B', unit: 'V', scale: 1, decimals: 0 },
  vbc: { label: 'B to C', unit: 'V', scale: 1, decimals: 0 },
  vca: { label: 'C to A', unit: 'V', scale: 1, decimals: 0 },
  van: { label: 'A to ground', unit: 'V', scale: 1, decimals: 0 },
  vbn: { label: 'B to ground', unit: 'V', scale: 1, decimals: 0 },
  vcn: { label: 'C to ground', unit: 'V', scale: 1, decimals: 0 },
  'weather.rh': { label: 'humidity outdoors', unit: '%RH', scale: 1, decimals: 0 },
  'weather.t': { label: 'air outdoors', unit: '°C', scale: 1, decimals: 1 },
};

/** The presentation of a channel; an unlisted one is shown by its own name without a unit. */
export function presentationOf(channel: string): ChannelPresentation {
  return CHANNELS[channel] ?? { label: channel, unit: '', scale: 1, decimals: 2 };
}

/** A stored channel value as shown, with its unit. */
export function channelValue(channel: string, stored: number): string {
  const { unit, scale, decimals } = presentationOf(channel);
  return quantity(stored * scale, unit, decimals);
}
