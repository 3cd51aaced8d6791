/** What a small chart shows, in words: for those who cannot see it, and for a quick look. */
import { quantity } from '../words/quantities.ts';
import { dayAndTime, dayOf } from '../words/times.ts';
import type { ChartLine, ChartPanel, ChartPoint } from './chart-shape.ts';

const NAMES: Readonly<Record<string, string>> = {
  ia: 'A',
  ib: 'B',
  ic: 'C',
  vab: 'A to B',
  vbc: 'B to C',
  vca: 'C to A',
};

/** How a line of several is called beside the chart; empty for one that is alone. */
export const lineName = (channel: string): string => NAMES[channel] ?? '';

export const valueWords = (value: number, unit: string): string =>
  quantity(value, unit, Math.abs(value) < 9.95 && !Number.isInteger(value) ? 1 : 0);

/** Newer than this is `now`. */
const NOW_WITHIN_MS = 2 * 60 * 60_000;

/** `Leakage to ground: 1.2 mA at first, highest 14 mA (14 Jan), now 13.9 mA.` */
export function panelWords(panel: ChartPanel, zone: string, nowMs: number): string {
  const parts = panel.lines.flatMap((line) => lineWords(line, panel.unit, zone, nowMs));
  const limit =
    panel.limit === null ? '' : ` Urgent from ${valueWords(panel.limit, panel.unit)} (dashed).`;
  return `${panel.title}: ${parts.join('; ')}.${limit}`;
}

function lineWords(line: ChartLine, unit: string, zone: string, nowMs: number): readonly string[] {
  const first = line.points[0];
  const last = line.points.at(-1);
  if (first === undefined || last === undefined) return [];
  const name = lineName(line.channel);
  const prefix = name === '' ? '' : `${name} `;
  const top = highestOf(line.points);
  const lastAt = dayAndTime(last[0], zone, nowMs);
  const isNow = nowMs - last[0] <= NOW_WITHIN_MS;
  const end = `${isNow ? 'now' : `last heard ${lastAt},`} ${valueWords(last[2], unit)}`;
  if (name !== '') return [`${prefix}${valueWords(first[2], unit)} at first, ${end}`];
  const highest = `highest ${valueWords(top[3], unit)} (${dayOf(top[0], zone, nowMs)})`;
  return [`${valueWords(first[2], unit)} at first, ${highest}, ${end}`];
}

function highestOf(points: readonly ChartPoint[]): ChartPoint {
  return points.reduce((best, point) => (point[3] > best[3] ? point : best));
}
