import type { Storm } from '../api/types.ts';
import { localParts } from '../words/times.ts';

const HOUR_MS = 3_600_000;

/** A part of time, epoch ms. */
export interface Span {
  readonly fromMs: number;
  readonly toMs: number;
}

/** What is drawn of a storm: some hours before its first touch, until it was dry. */
export function courseSpan(storm: Storm, nowMs: number): Span {
  const startMs = Date.parse(storm.start);
  const endMs = storm.end === null ? nowMs : Date.parse(storm.end);
  const lastTouchMs = Date.parse(storm.lastTouch);
  // Where one compartment stays wet for weeks, the story of all is told long before.
  const toldMs = Math.min(Math.max(endMs, lastTouchMs), lastTouchMs + 48 * HOUR_MS);
  return { fromMs: startMs - 6 * HOUR_MS, toMs: toldMs + 3 * HOUR_MS };
}

/** Hours between ticks, the first that gives at most six; all divide a day or are days. */
const STEPS_HOURS = [3, 6, 12, 24, 48, 96];
const MOST_TICKS = 6;

/** Round hours of the zone within the span. */
export function courseTicks(span: Span, zone: string): readonly number[] {
  const hours = (span.toMs - span.fromMs) / HOUR_MS;
  const step = STEPS_HOURS.find((one) => hours / one <= MOST_TICKS) ?? 240;
  const ticks: number[] = [];
  for (let atMs = Math.ceil(span.fromMs / HOUR_MS) * HOUR_MS; atMs < span.toMs; atMs += HOUR_MS) {
    const { hour } = localParts(atMs, zone);
    const last = ticks.at(-1);
    const isFar = last === undefined || atMs - last >= (step - 1) * HOUR_MS;
    if (hour % Math.min(step, 24) === 0 && isFar) ticks.push(atMs);
  }
  return ticks;
}

/** Where a time lies in the span, as SVG writes it: `42.5%`. */
export function partOf(atMs: number, { fromMs, toMs }: Span): string {
  return `${(((atMs - fromMs) / (toMs - fromMs)) * 100).toFixed(3)}%`;
}

/** What the charts of a unit show when they are opened from a storm. */
export function chartSpan(storm: Storm, nowMs: number): Span {
  const { fromMs, toMs } = courseSpan(storm, nowMs);
  return { fromMs, toMs: Math.min(toMs, Math.max(nowMs, fromMs + HOUR_MS)) };
}
