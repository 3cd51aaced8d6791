/** Words for the values that the API sends as short codes. */
import type { AlarmState, Condition, Priority } from '../api/types.ts';

const CAUSES: Readonly<Record<string, string>> = {
  condensation: 'Condensation on a cold plate',
  'water-ingress': 'Water getting into the compartment',
  'humid-weather': 'Humid weather',
  'line-side-track-to-ground': 'Conducting track to ground on the line side',
  'pole-to-pole-track': 'Conducting track from pole to pole on the line side',
  'load-insulation': 'Insulation of a load or of wiring past the contactor',
  'supply-voltage': 'Unbalanced supply voltage',
  'worn-pole-or-connection': 'Worn contactor pole or loose connection',
  'open-fuse': 'Fuse open',
  'disconnect-open-or-fuses-open': 'Disconnect open, or fuses open',
  'sensor-fault': 'Sensor fault',
  'node-offline': 'Sensor node without power or connection',
  'utility-outage': 'Outage of the utility supply',
  unknown: 'Cause not determined',
};

const KINDS: Readonly<Record<string, string>> = {
  moisture: 'moisture',
  leakage: 'leakage',
  'phase-track': 'track between phases',
  unbalance: 'unbalance',
  'phase-loss': 'phase lost',
  'supply-loss': 'supply lost',
  'repeat-fuse': 'fuses replaced again',
  sensor: 'sensor',
  silent: 'silent node',
};

const GROUNDINGS: Readonly<Record<string, string>> = {
  'solid-wye': 'solidly grounded wye',
  'corner-grounded-delta': 'corner-grounded delta',
  'high-leg-delta': 'high-leg delta',
  ungrounded: 'ungrounded',
  'high-resistance': 'high-resistance grounded',
};

const WETTINGS: Readonly<Record<string, string>> = {
  condensation: 'condensation',
  'water-ingress': 'water getting in',
  'humid-weather': 'humid weather',
};

const readable = (code: string): string => code.replaceAll('-', ' ');

export const causeWords = (cause: string): string => CAUSES[cause] ?? readable(cause);
export const kindWords = (kind: string): string => KINDS[kind] ?? readable(kind);
export const groundingWords = (code: string): string => GROUNDINGS[code] ?? readable(code);
export const wettingWords = (source: string): string => WETTINGS[source] ?? readable(source);

export const PRIORITY_WORDS: Readonly<Record<Priority, string>> = {
  emergency: 'Emergency',
  urgent: 'Urgent',
  routine: 'Routine',
};

const OPERATING_STATES: Readonly<Record<Condition['operatingState'], string>> = {
  running: 'running',
  idle: 'idle',
  dead: 'no current at all',
  unknown: 'state unknown',
};

export const operatingWords = (state: Condition['operatingState']): string =>
  OPERATING_STATES[state];

const ALARM_STATES: Readonly<Record<AlarmState, string>> = {
  normal: 'back to normal',
  unacknowledged: 'not acknowledged yet',
  acknowledged: 'acknowledged',
  'returned-unacknowledged': 'back to normal by itself, not acknowledged yet',
  shelved: 'shelved',
  suppressed: 'suppressed by another alarm of its unit',
  'out-of-service': 'out of service with its unit',
};

export const alarmStateWords = (state: AlarmState): string => ALARM_STATES[state];

/** `about 86 in 100`: a probability in words that nobody reads as a measurement. */
export function likelihood(probability: number): string {
  const hundredth = Math.round(probability * 100);
  if (hundredth <= 0) return 'less than 1 in 100';
  if (hundredth >= 100) return 'more than 99 in 100';
  return `${hundredth} in 100`;
}
