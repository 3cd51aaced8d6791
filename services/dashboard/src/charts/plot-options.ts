import type uPlot from 'uplot';
import { presentationOf } from '../words/quantities.ts';
import type { Panel } from './panels.ts';
import { timeLabels } from './time-axis.ts';

/** CSS px. All strips keep the same space at both sides, so that their times stand in one line. */
export const SIDE_PX = 46;
const PLOT_HEIGHT_PX = 132;
const TIME_AXIS_PX = 38;
const WIDEST_BAND_DRAG_PX = 6;

export interface PlotEvents {
  readonly behind: (plot: uPlot) => void;
  readonly above: (plot: uPlot) => void;
  readonly read: (atMs: number | null) => void;
  readonly zoom: (oneMs: number, otherMs: number) => void;
}

const token = (element: Element, name: string): string =>
  getComputedStyle(element).getPropertyValue(name).trim();

function translucent(colour: string): string {
  return `${colour}2e`;
}

function seriesOf(element: Element, panel: Panel): { series: uPlot.Series[]; bands: uPlot.Band[] } {
  const series: uPlot.Series[] = [{}];
  const bands: uPlot.Band[] = [];
  for (const { channel, scaleKey, ink, width, dash } of panel.lines) {
    const stroke = token(element, ink);
    const label = presentationOf(channel).label;
    const points = { show: false };
    const edge = { scale: scaleKey, width: 0, points, label };
    bands.push({ series: [series.length + 2, series.length + 1], fill: translucent(stroke) });
    series.push({ label, scale: scaleKey, stroke, width, dash: [...dash], points }, edge, edge);
  }
  return { series, bands };
}

function valueAxis(element: Element, scale: string, side: 1 | 3): uPlot.Axis {
  return {
    scale,
    side,
    size: SIDE_PX,
    stroke: token(element, '--ink-soft'),
    font: `12px ${token(element, '--face')}`,
    gap: 4,
    space: 28,
    grid: side === 3 ? { stroke: token(element, '--ruling'), width: 1 } : { show: false },
    ticks: { show: false },
    values: (_plot, marks) =>
      marks.map((mark) => String(Number(mark.toFixed(3))).replace('-', '−')),
  };
}

function timeAxis(element: Element, zone: string, side: 0 | 2, labelled: boolean): uPlot.Axis {
  return {
    scale: 'x',
    side,
    size: labelled ? TIME_AXIS_PX : 6,
    stroke: token(element, '--ink-soft'),
    font: `12px ${token(element, '--face')}`,
    gap: 4,
    space: 64,
    grid: side === 2 ? { stroke: token(element, '--ruling'), width: 1 } : { show: false },
    ticks: { show: labelled, stroke: token(element, '--rule'), size: 5 },
    values: (_plot, marks, _axis, _space, stepMs) =>
      labelled ? [...timeLabels(marks, stepMs, zone, Date.now(), side === 2)] : marks.map(() => ''),
  };
}

/** Room above and below the line; leakage and currents start at zero, which means something. */
function scalesOf(panel: Panel): uPlot.Scales {
  const scales: uPlot.Scales = { x: { time: true, auto: false } };
  for (const key of new Set(panel.lines.map(({ scaleKey }) => scaleKey))) {
    scales[key] = { range: (_plot, lowest, highest) => scaleRange(key, lowest, highest) };
  }
  return scales;
}

/** The ends of a value axis for data from `lowest` to `highest` (NaN or null: no data). */
export function scaleRange(
  key: string,
  lowest: number | null,
  highest: number | null,
): [number, number] {
  if (key === '%RH') return [0, 100];
  const low = lowest ?? 0;
  const high = highest ?? 1;
  if (key === 'mA' || key === 'A') return [0, Math.max(high * 1.12, key === 'mA' ? 2 : 1)];
  const room = Math.max((high - low) * 0.12, 1);
  return [low - room, high + room];
}

/** Everything that uPlot has to know about one strip. */
export function plotOptions(
  element: HTMLElement,
  panel: Panel,
  zone: string,
  labels: 'top' | 'bottom' | 'both' | 'none',
  events: PlotEvents,
): uPlot.Options {
  const atTop = labels === 'top' || labels === 'both';
  const atBottom = labels === 'bottom' || labels === 'both';
  const axes = [timeAxis(element, zone, 2, atBottom), valueAxis(element, panel.left, 3)];
  if (atTop) axes.push(timeAxis(element, zone, 0, true));
  const hasRight = panel.lines.some(({ scaleKey }) => scaleKey === panel.right);
  if (panel.right !== null && hasRight) axes.push(valueAxis(element, panel.right, 1));
  return {
    width: Math.max(element.clientWidth, 200),
    height: PLOT_HEIGHT_PX + (atTop ? TIME_AXIS_PX : 6) + (atBottom ? TIME_AXIS_PX : 6),
    ms: 1,
    padding: [atTop ? 0 : 6, hasRight ? 0 : SIDE_PX, 0, 0],
    tzDate: (atMs) => zonedDate(atMs, zone),
    legend: { show: false },
    cursor: {
      y: false,
      points: { show: false },
      drag: { x: true, y: false, setScale: false },
    },
    scales: scalesOf(panel),
    axes,
    ...seriesOf(element, panel),
    hooks: {
      drawClear: [events.behind],
      draw: [events.above],
      setCursor: [
        (plot) => {
          const left = plot.cursor.left ?? -10;
          events.read(left < 0 ? null : plot.posToVal(left, 'x'));
        },
      ],
      setSelect: [
        (plot) => {
          const { left, width } = plot.select;
          if (width < WIDEST_BAND_DRAG_PX) return;
          plot.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
          events.zoom(plot.posToVal(left, 'x'), plot.posToVal(left + width, 'x'));
        },
      ],
    },
  };
}

/** A date whose local fields are those of `zone`, which is how uPlot finds midnights. */
function zonedDate(atMs: number, zone: string): Date {
  return new Date(new Date(atMs).toLocaleString('en-US', { timeZone: zone }));
}
