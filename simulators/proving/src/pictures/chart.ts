/** Plain charts as SVG: panels one below the other over one horizontal axis. */

export type Point = readonly [x: number, y: number];

interface Series {
  readonly name: string;
  readonly colour: string;
  readonly as: 'line' | 'dots' | 'dashes';
  readonly points: readonly Point[];
}

/** A moment with a word. */
export interface Mark {
  readonly x: number;
  readonly text: string;
  readonly colour: string;
}

interface Panel {
  readonly label: string;
  readonly from: number;
  readonly to: number;
  readonly series: readonly Series[];
  readonly marks?: readonly Mark[];
  readonly height?: number;
}

export interface Chart {
  readonly title: string;
  readonly xLabel: string;
  readonly from: number;
  readonly to: number;
  readonly panels: readonly Panel[];
}

export const COLOURS = {
  leakage: '#b3261e',
  humidity: '#1f5fa8',
  learned: '#2e7d4f',
  other: '#c25b12',
  quiet: '#8a8f98',
} as const;

const WIDTH = 760;
const LEFT = 62;
const RIGHT = 16;
const TOP = 34;
const GAP = 30;
const BOTTOM = 42;
const PANEL_HEIGHT = 190;
const TICKS = 5;

export function drawChart({ title, xLabel, from, to, panels }: Chart): string {
  const parts: string[] = [];
  const x = (value: number): number =>
    LEFT + ((value - from) / (to - from)) * (WIDTH - LEFT - RIGHT);
  let top = TOP;
  for (const panel of panels) {
    parts.push(drawPanel(panel, top, x, [from, to]));
    top += (panel.height ?? PANEL_HEIGHT) + GAP;
  }
  const foot = top - GAP;
  for (const tick of ticks(from, to)) {
    parts.push(text(x(tick), foot + 16, figure(tick), 'middle'));
  }
  parts.push(text((LEFT + WIDTH - RIGHT) / 2, foot + 34, xLabel, 'middle'));
  const height = foot + BOTTOM;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${height}" ` +
      `font-family="system-ui, sans-serif" font-size="12" fill="#222">`,
    `<title>${escaped(title)}</title>`,
    `<rect width="${WIDTH}" height="${height}" fill="#fff"/>`,
    `<text x="${LEFT}" y="16" font-size="14" font-weight="600">${escaped(title)}</text>`,
    ...parts,
    '</svg>',
    '',
  ].join('\n');
}

function drawPanel(
  panel: Panel,
  top: number,
  x: (value: number) => number,
  [first, last]: readonly [number, number],
): string {
  const height = panel.height ?? PANEL_HEIGHT;
  const y = (value: number): number => {
    const share = (value - panel.from) / (panel.to - panel.from);
    return top + height - Math.min(1, Math.max(0, share)) * height;
  };
  const lines = ticks(panel.from, panel.to).map(
    (tick) =>
      `<path d="M${LEFT} ${round(y(tick))}H${WIDTH - RIGHT}" stroke="#e3e5e8"/>` +
      text(LEFT - 6, y(tick) + 4, figure(tick), 'end'),
  );
  const within = ([at]: Point): boolean => at >= first && at <= last;
  const drawn = panel.series.map((one) =>
    drawSeries({ ...one, points: one.points.filter(within) }, x, y),
  );
  const marks = (panel.marks ?? []).map(({ x: at, text: word, colour }, index) => {
    const low = top + 12 + 14 * (index % 4);
    const late = at > first + 0.8 * (last - first);
    const side = late ? -4 : 4;
    return (
      `<path d="M${round(x(at))} ${top}V${top + height}" stroke="${colour}" stroke-dasharray="3 3"/>` +
      text(x(at) + side, low, word, late ? 'end' : 'start', colour)
    );
  });
  const label =
    `<text transform="translate(16 ${top + height / 2}) rotate(-90)" text-anchor="middle">` +
    `${escaped(panel.label)}</text>`;
  return [...lines, ...drawn, ...marks, label, legend(panel.series, top)].join('\n');
}

function drawSeries(
  { points, colour, as }: Series,
  x: (value: number) => number,
  y: (value: number) => number,
): string {
  if (as === 'dots') {
    const dots = points.map(([at, value]) => `M${round(x(at))} ${round(y(value))}h0`).join('');
    return `<path d="${dots}" stroke="${colour}" stroke-width="3" stroke-linecap="round" stroke-opacity="0.55"/>`;
  }
  const path = points.map(([at, value]) => `${round(x(at))} ${round(y(value))}`).join('L');
  const dash = as === 'dashes' ? ' stroke-dasharray="6 4"' : '';
  return `<path d="M${path}" fill="none" stroke="${colour}" stroke-width="1.5"${dash}/>`;
}

/** Names above the panel, from the right. */
function legend(series: readonly Series[], top: number): string {
  let right = WIDTH - RIGHT;
  return series
    .toReversed()
    .filter(({ name }) => name !== '')
    .map(({ name, colour }) => {
      const at = right;
      right -= 7.4 * name.length + 34;
      return (
        text(at, top - 6, name, 'end', colour) +
        `<path d="M${at - 7.2 * name.length - 16} ${top - 10}h10" stroke="${colour}" stroke-width="3"/>`
      );
    })
    .join('\n');
}

function ticks(from: number, to: number): number[] {
  const raw = (to - from) / TICKS;
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = [1, 2, 5, 10].find((one) => one * power >= raw) ?? 10;
  const first = Math.ceil(from / (step * power));
  const found: number[] = [];
  for (let index = first; index * step * power <= to * 1.0001; index += 1) {
    found.push(index * step * power);
  }
  return found;
}

function text(x: number, y: number, words: string, anchor: string, colour = '#444'): string {
  return `<text x="${round(x)}" y="${round(y)}" text-anchor="${anchor}" fill="${colour}">${escaped(words)}</text>`;
}

function figure(value: number): string {
  return String(Number(value.toPrecision(6)));
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}

function escaped(words: string): string {
  return words.replaceAll('&', '&amp;').replaceAll('<', '&lt;');
}

/** At most `most` points: of each stretch the lowest and the highest, in order. */
export function thinned(points: readonly Point[], most = 500): Point[] {
  if (points.length <= most) return [...points];
  const size = Math.ceil((2 * points.length) / most);
  const kept: Point[] = [];
  for (let from = 0; from < points.length; from += size) {
    const stretch = points.slice(from, from + size);
    const sorted = stretch.toSorted((one, other) => one[1] - other[1]);
    const [low, high] = [sorted[0], sorted.at(-1)];
    if (low === undefined || high === undefined) continue;
    kept.push(...(low[0] <= high[0] ? [low, high] : [high, low]));
  }
  return kept;
}

/** Every so manieth point. */
export function sampled(points: readonly Point[], most = 600): Point[] {
  const step = Math.ceil(points.length / most);
  return points.filter((_, index) => index % step === 0);
}
