import type uPlot from 'uplot';
import type { Happening } from './happenings.ts';

/** CSS px between the slanted lines that stand for wetness. */
const HATCH_PX = 7;

function pixelSpan(plot: uPlot, fromMs: number, toMs: number): readonly [number, number] {
  const { left, width } = plot.bbox;
  const within = (x: number): number => Math.min(left + width, Math.max(left, x));
  return [within(plot.valToPos(fromMs, 'x', true)), within(plot.valToPos(toMs, 'x', true))];
}

function colourOf(plot: uPlot, name: string): string {
  return getComputedStyle(plot.root).getPropertyValue(name).trim();
}

/** Hatches the times when the compartment was wet, behind the lines. */
export function paintWettings(plot: uPlot, happenings: readonly Happening[]): void {
  const { ctx, bbox } = plot;
  const ratio = devicePixelRatio;
  const step = HATCH_PX * ratio;
  for (const { kind, fromMs, toMs } of happenings) {
    if (kind !== 'wetting') continue;
    const [from, to] = pixelSpan(plot, fromMs, toMs);
    if (to <= from) continue;
    const width = Math.max(to - from, 2 * ratio);
    ctx.save();
    ctx.beginPath();
    ctx.rect(from, bbox.top, width, bbox.height);
    ctx.fillStyle = colourOf(plot, '--wet-wash');
    ctx.fill();
    ctx.clip();
    ctx.beginPath();
    const first = Math.floor((from - bbox.height) / step) * step;
    for (let x = first; x < from + width; x += step) {
      ctx.moveTo(x, bbox.top + bbox.height);
      ctx.lineTo(x + bbox.height, bbox.top);
    }
    ctx.strokeStyle = colourOf(plot, '--wet-hatch');
    ctx.lineWidth = ratio;
    ctx.stroke();
    ctx.restore();
  }
}

/** Upright lines where an alarm was raised (solid) or somebody worked on the unit (dotted). */
export function paintMarks(plot: uPlot, happenings: readonly Happening[]): void {
  const { ctx, bbox } = plot;
  const ratio = devicePixelRatio;
  for (const { kind, fromMs } of happenings) {
    if (kind === 'wetting') continue;
    const x = plot.valToPos(fromMs, 'x', true);
    if (x < bbox.left || x > bbox.left + bbox.width) continue;
    ctx.save();
    ctx.beginPath();
    ctx.setLineDash(kind === 'service' ? [2 * ratio, 4 * ratio] : []);
    ctx.strokeStyle = colourOf(plot, kind === 'service' ? '--ink-soft' : '--ink-alarm');
    ctx.lineWidth = (kind === 'service' ? 2 : 1.5) * ratio;
    ctx.moveTo(x, bbox.top);
    ctx.lineTo(x, bbox.top + bbox.height);
    ctx.stroke();
    ctx.restore();
  }
}
