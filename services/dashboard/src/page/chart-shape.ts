/** Where the lines of a small chart run, in the units of its own drawing. */
import type { PageChart } from './page-types.ts';

export const CHART_WIDTH = 360;
export const CHART_HEIGHT = 116;
/** Room for the values at the left and for the days below. */
export const PLOT = { left: 40, right: 356, top: 8, bottom: 96 } as const;

/** A longer silence than this is drawn as a gap. */
const GAP_MS = 3 * 60 * 60_000;

/** `[epoch ms, lowest, mean, highest]`, in the unit that is shown. */
export type ChartPoint = readonly [number, number, number, number];

export interface ChartLine {
  readonly channel: string;
  readonly points: readonly ChartPoint[];
}

export interface ChartPanel {
  readonly key: string;
  readonly title: string;
  readonly unit: string;
  readonly lines: readonly ChartLine[];
  /** In the unit that is shown; null where there is none. */
  readonly limit: number | null;
}

interface PanelKind {
  readonly title: string;
  readonly unit: string;
  readonly scale: number;
  readonly channels: readonly string[];
}

const PANELS: Readonly<Record<string, PanelKind>> = {
  leak: { title: 'Leakage to ground', unit: 'mA', scale: 1000, channels: ['leak'] },
  rh: { title: 'Humidity inside', unit: '%RH', scale: 1, channels: ['rh'] },
  i: { title: 'Phase currents', unit: 'A', scale: 1, channels: ['ia', 'ib', 'ic'] },
  v: { title: 'Voltages between lines', unit: 'V', scale: 1, channels: ['vab', 'vbc', 'vca'] },
};

/** The panels of a chart that have readings, in the order in which the chart names them. */
export function panelsOf(chart: PageChart): readonly ChartPanel[] {
  const keys = [...new Set(chart.lines.map(({ channel }) => panelOf(channel)))];
  return keys.flatMap((key) => {
    const kind = PANELS[key];
    if (kind === undefined) return [];
    const lines = chart.lines
      .filter(({ channel }) => kind.channels.includes(channel))
      .map(({ channel, points }) => ({
        channel,
        points: points.flatMap((point) => scaled(point, kind.scale)),
      }));
    const limit = chart.limits.find(({ channel }) => kind.channels.includes(channel));
    const shown = limit === undefined ? null : limit.value * kind.scale;
    return [{ key, title: kind.title, unit: kind.unit, lines, limit: shown }];
  });
}

const panelOf = (channel: string): string =>
  Object.keys(PANELS).find((key) => PANELS[key]?.channels.includes(channel)) ?? '';

function scaled(point: readonly number[], scale: number): readonly ChartPoint[] {
  const [atMs, lowest, mean, highest] = point;
  if (atMs === undefined || lowest === undefined) return [];
  if (mean === undefined || highest === undefined) return [];
  return [[atMs, lowest * scale, mean * scale, highest * scale]];
}

export interface ChartScale {
  readonly x: (atMs: number) => number;
  readonly y: (value: number) => number;
  readonly low: number;
  readonly high: number;
}

/** From zero where that costs little; voltages and humidity are shown around themselves. */
export function scaleOf(panel: ChartPanel, fromMs: number, toMs: number): ChartScale {
  const all = panel.lines.flatMap(({ points }) => points.flatMap(([, low, , high]) => [low, high]));
  if (panel.limit !== null) all.push(panel.limit);
  const lowest = Math.min(...all);
  const highest = Math.max(...all);
  const isFarFromZero = lowest > highest * 0.6;
  // A line that hardly moves must not look as if it did.
  const range = Math.max(highest - (isFarFromZero ? lowest : 0), highest * 0.1, 1);
  const step = 10 ** Math.floor(Math.log10(range)) / 2;
  const low = isFarFromZero ? Math.max(0, (Math.floor(lowest / step) - 1) * step) : 0;
  const high = (Math.floor(highest / step) + 1) * step;
  const { left, right, top, bottom } = PLOT;
  return {
    low,
    high,
    x: (atMs) => left + ((atMs - fromMs) / (toMs - fromMs)) * (right - left),
    y: (value) => bottom - ((value - low) / (high - low)) * (bottom - top),
  };
}

/** The mean as a line; it breaks where nothing was heard, a lone reading is a dot. */
export function meanPath(line: ChartLine, { x, y }: ChartScale): string {
  return runsOf(line)
    .map((run) =>
      run
        .map(([atMs, , mean], index) => `${index === 0 ? 'M' : 'L'}${place(x(atMs), y(mean))}`)
        .join('')
        .concat(run.length === 1 ? 'h0' : ''),
    )
    .join('');
}

/** From the lowest to the highest value as an area. */
export function bandPath(line: ChartLine, { x, y }: ChartScale): string {
  return runsOf(line)
    .filter((run) => run.length > 1)
    .map((run) => {
      const over = run.map(([atMs, , , high]) => place(x(atMs), y(high)));
      const under = run.map(([atMs, low]) => place(x(atMs), y(low))).reverse();
      return `M${[...over, ...under].join('L')}Z`;
    })
    .join('');
}

function runsOf({ points }: ChartLine): readonly (readonly ChartPoint[])[] {
  const runs: ChartPoint[][] = [];
  let lastMs = Number.NEGATIVE_INFINITY;
  for (const point of points) {
    if (point[0] - lastMs > GAP_MS) runs.push([]);
    runs.at(-1)?.push(point);
    lastMs = point[0];
  }
  return runs;
}

const place = (x: number, y: number): string => `${x.toFixed(1)} ${y.toFixed(1)}`;
