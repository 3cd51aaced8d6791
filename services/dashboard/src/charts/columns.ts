import type { TelemetryPoint } from '../api/types.ts';

/** A pause longer than this many usual steps is drawn as a gap, not bridged by a line. */
const GAP_STEPS = 3.5;

/**
 * Columns for the plot: epoch ms, then per channel mean, lowest and highest. `null` ends a line
 * (no readings for a while); `undefined` only means that another channel was sampled then.
 */
export type PlotColumns = [number[], ...(number | null | undefined)[][]];

function usualStepMs(points: readonly TelemetryPoint[]): number {
  const steps: number[] = [];
  for (let index = 1; index < points.length; index += 1) {
    steps.push((points[index]?.[0] ?? 0) - (points[index - 1]?.[0] ?? 0));
  }
  steps.sort((left, right) => left - right);
  return steps[Math.floor(steps.length / 2)] ?? Number.POSITIVE_INFINITY;
}

/** Times right after a point that is followed by a pause. */
function gapTimes(points: readonly TelemetryPoint[]): readonly number[] {
  const longestMs = GAP_STEPS * usualStepMs(points);
  return points.flatMap(([atMs], index) => {
    const next = points[index + 1];
    return next !== undefined && next[0] - atMs > longestMs ? [atMs + 1] : [];
  });
}

/** Brings channels with their own sampling times onto one time column, values times `scale`. */
export function plotColumns(
  channels: readonly { readonly points: readonly TelemetryPoint[]; readonly scale: number }[],
): PlotColumns {
  const gaps = channels.map(({ points }) => gapTimes(points));
  const times = new Set<number>();
  for (const { points } of channels) for (const [atMs] of points) times.add(atMs);
  for (const atMs of gaps.flat()) times.add(atMs);
  const time = [...times].sort((left, right) => left - right);
  const rowOf = new Map(time.map((atMs, row) => [atMs, row]));

  const columns: PlotColumns = [time];
  channels.forEach(({ points, scale }, channel) => {
    const [low, mean, high] = [0, 1, 2].map(
      () => new Array<number | null | undefined>(time.length),
    );
    if (low === undefined || mean === undefined || high === undefined) return;
    for (const atMs of gaps[channel] ?? []) {
      const row = rowOf.get(atMs) ?? 0;
      low[row] = mean[row] = high[row] = null;
    }
    for (const [atMs, lowest, middle, highest] of points) {
      const row = rowOf.get(atMs) ?? 0;
      low[row] = lowest * scale;
      mean[row] = middle * scale;
      high[row] = highest * scale;
    }
    columns.push(mean, low, high);
  });
  return columns;
}

/** The point nearest to `atMs`, or null when none is within `toleranceMs`. */
export function pointNear(
  points: readonly TelemetryPoint[],
  atMs: number,
  toleranceMs: number,
): TelemetryPoint | null {
  let low = 0;
  let high = points.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((points[middle]?.[0] ?? 0) < atMs) low = middle + 1;
    else high = middle;
  }
  const candidates = [points[low - 1], points[low]].filter((point) => point !== undefined);
  const nearest = candidates.sort(
    (left, right) => Math.abs(left[0] - atMs) - Math.abs(right[0] - atMs),
  )[0];
  return nearest !== undefined && Math.abs(nearest[0] - atMs) <= toleranceMs ? nearest : null;
}

export interface Extent {
  readonly lowest: number;
  readonly highest: number;
  readonly mean: number;
}

/** Lowest, highest and the mean of the means; null without points. */
export function extentOf(points: readonly TelemetryPoint[]): Extent | null {
  if (points.length === 0) return null;
  let lowest = Number.POSITIVE_INFINITY;
  let highest = Number.NEGATIVE_INFINITY;
  let sum = 0;
  for (const [, low, mean, high] of points) {
    lowest = Math.min(lowest, low);
    highest = Math.max(highest, high);
    sum += mean;
  }
  return { lowest, highest, mean: sum / points.length };
}

/** `points` with one raw reading more; an older or repeated time changes nothing. */
export function withReading(
  points: readonly TelemetryPoint[],
  atMs: number,
  value: number,
): readonly TelemetryPoint[] {
  const newest = points.at(-1);
  if (newest !== undefined && newest[0] >= atMs) return points;
  return [...points, [atMs, value, value, value]];
}
