import type { Range, RangeName } from '../routes/route.ts';

/** A part of time, epoch ms, half open. */
export interface Span {
  readonly fromMs: number;
  readonly toMs: number;
}

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;

const LENGTHS: Readonly<Record<RangeName, number>> = {
  '24h': DAY_MS,
  '7d': 7 * DAY_MS,
  '6w': 42 * DAY_MS,
};

export const RANGE_LABELS: Readonly<Record<RangeName, string>> = {
  '24h': '24 hours',
  '7d': '7 days',
  '6w': '6 weeks',
};

/** Nodes report about once a minute: below ten minutes there is nothing to see. */
export const SHORTEST_SPAN_MS: number = 10 * 60_000;

/** The usual retention; nothing older is kept. */
const LONGEST_SPAN_MS = 400 * DAY_MS;

/** The span that a range means at `nowMs`. */
export function spanOf(range: Range, nowMs: number): Span {
  if (!('last' in range)) return { fromMs: range.fromMs, toMs: range.toMs };
  return { fromMs: nowMs - LENGTHS[range.last], toMs: nowMs };
}

/** Moves a span by a part of its own length, but not into the future. */
export function shifted(span: Span, part: number, nowMs: number): Span {
  const length = span.toMs - span.fromMs;
  const toMs = Math.min(span.toMs + part * length, Math.max(nowMs, span.toMs));
  return { fromMs: Math.round(toMs - length), toMs: Math.round(toMs) };
}

/** Makes a span `factor` times as long about its middle (below 1: closer), within its limits. */
export function scaled(span: Span, factor: number, nowMs: number): Span {
  const length = span.toMs - span.fromMs;
  const wanted = Math.min(LONGEST_SPAN_MS, Math.max(SHORTEST_SPAN_MS, length * factor));
  const middle = (span.fromMs + span.toMs) / 2;
  const toMs = Math.min(middle + wanted / 2, Math.max(nowMs, span.toMs));
  return { fromMs: Math.round(toMs - wanted), toMs: Math.round(toMs) };
}

/** A span drawn by hand: in order, at least `SHORTEST_SPAN_MS` long. */
export function drawnSpan(oneMs: number, otherMs: number): Span {
  const fromMs = Math.min(oneMs, otherMs);
  const toMs = Math.max(oneMs, otherMs, fromMs + SHORTEST_SPAN_MS);
  return { fromMs: Math.round(fromMs), toMs: Math.round(toMs) };
}

export const overlaps = (span: Span, fromMs: number, toMs: number): boolean =>
  fromMs < span.toMs && toMs > span.fromMs;
