import { SPAN_ALARMS_MOST } from './rates.ts';
import { type FiguresWindow, SPAN_MS } from './windows.ts';

/** A flood is over once fewer than this came within the last 10 minutes; from memory. */
const FLOOD_ENDS_BELOW = 5;

/** Half open. */
export interface Flood {
  readonly fromMs: number;
  readonly toMs: number;
}

/**
 * Alarm floods, by a window of 10 minutes that slides: from the alarm that makes more than ten
 * within 10 minutes until fewer than five came within the last 10 minutes. ANSI/ISA-18.2 and IEC
 * 62682, the beginning and the end from memory.
 *
 * @param timesMs of all annunciations, in order of time.
 */
export function floodsOf(timesMs: readonly number[]): readonly Flood[] {
  const floods: Flood[] = [];
  let beganMs: number | null = null;
  for (const [index, atMs] of timesMs.entries()) {
    const eleventhBackMs = timesMs[index - SPAN_ALARMS_MOST];
    if (beganMs === null && eleventhBackMs !== undefined && atMs - eleventhBackMs < SPAN_MS) {
      beganMs = atMs;
    }
    if (beganMs === null) continue;
    const endMs = (timesMs[index - FLOOD_ENDS_BELOW + 1] ?? atMs) + SPAN_MS;
    const nextMs = timesMs[index + 1] ?? Number.POSITIVE_INFINITY;
    if (endMs <= nextMs) {
      floods.push({ fromMs: beganMs, toMs: endMs });
      beganMs = null;
    }
  }
  return floods;
}

/** How much of the window was flooded, ms. */
export function floodedMs(floods: readonly Flood[], window: FiguresWindow): number {
  let sumMs = 0;
  for (const { fromMs, toMs } of floods) {
    sumMs += Math.max(0, Math.min(toMs, window.toMs) - Math.max(fromMs, window.fromMs));
  }
  return sumMs;
}
