import type { EvidenceValue } from '../api/types.ts';
import { quantity } from './quantities.ts';
import { dayAndTime, duration } from './times.ts';

const MILLISECONDS = 'Ms';

/** Unit suffixes of evidence names. Longer ones first, so that `MilliampsPerHour` is found. */
const SUFFIXES: readonly (readonly [suffix: string, unit: string, decimals: number])[] = [
  ['MilliampsPerHour', 'mA per hour', 1],
  ['MilliampsPerWeek', 'mA per week', 1],
  ['KelvinPerHour', 'K per hour', 1],
  ['Milliamps', 'mA', 1],
  ['Amps', 'A', 1],
  ['Volts', 'V', 0],
  ['Percent', '%', 1],
  ['Kelvin', 'K', 1],
  ['Celsius', '°C', 1],
  ['Pascals', 'Pa', 0],
  ['Seconds', 's', 0],
  ['Minutes', 'min', 0],
  ['Hours', 'h', 1],
  ['Days', 'days', 1],
  ['Hertz', 'Hz', 1],
  ['Ratio', 'times', 2],
  [MILLISECONDS, '', 0],
];

const NO_SUFFIX = ['', '', 0] as const;

export interface EvidenceLine {
  readonly label: string;
  readonly value: string;
}

/** No reading is from before 1973, and no duration that is evidence is that long. */
const EARLIEST_TIME_MS = 1e11;

/** `leakageAboveBaseline` -> `Leakage above baseline`, `phaseA` -> `Phase A`. */
function wordsOf(name: string): string {
  const spaced = name
    .replace(/([a-z])(?=[A-Z0-9])/g, '$1 ')
    .replace(/[A-Z](?=[a-z])/g, (letter) => letter.toLowerCase());
  return spaced.charAt(0).toUpperCase() + spaced.slice(1);
}

/** One piece of evidence in words; `zone` and `nowMs` are for names that end in `Ms`. */
export function evidenceLine(
  name: string,
  value: EvidenceValue,
  zone: string,
  nowMs: number,
): EvidenceLine {
  const [suffix, unit, decimals] = SUFFIXES.find(([suffix]) => name.endsWith(suffix)) ?? NO_SUFFIX;
  const label = wordsOf(name.slice(0, name.length - suffix.length));
  if (value === null) return { label, value: 'not known' };
  if (typeof value === 'boolean') return { label, value: value ? 'yes' : 'no' };
  if (typeof value === 'string') return { label, value };
  if (suffix === MILLISECONDS) {
    const isTime = value >= EARLIEST_TIME_MS;
    return { label, value: isTime ? dayAndTime(value, zone, nowMs) : duration(value) };
  }
  if (suffix === '') return { label, value: quantity(value, '', Number.isInteger(value) ? 0 : 2) };
  return { label, value: quantity(value, unit, decimals) };
}
