import type { Span } from './week.ts';

const MINUTE_MS = 60_000;
const HOUR_MS: number = 60 * MINUTE_MS;
const DAY_MS: number = 24 * HOUR_MS;

/** Widths that people can read off an axis; beyond a week they double. */
const WIDTHS_MS: readonly number[] = [
  ...[1, 2, 5, 10, 15, 30].map((minutes) => minutes * MINUTE_MS),
  ...[1, 2, 3, 4, 6, 12].map((hours) => hours * HOUR_MS),
  ...[1, 2, 3, 7].map((days) => days * DAY_MS),
];

/**
 * Narrowest width with which at most `points` buckets, starting at multiples of the width since
 * 1970, cover the span. Always ends: one bucket from 1970 on covers everything at last.
 *
 * @param span event times from 1970 on, not empty.
 * @param points at least 1.
 * @returns ms.
 */
export function bucketWidth(span: Span, points: number): number {
  let doubled = 7 * DAY_MS;
  for (const widthMs of WIDTHS_MS) if (bucketCount(span, widthMs) <= points) return widthMs;
  while (bucketCount(span, doubled) > points) doubled *= 2;
  return doubled;
}

/** Buckets of that width that the span touches. */
export function bucketCount(span: Span, widthMs: number): number {
  return Math.ceil(span.toMs / widthMs) - Math.floor(span.fromMs / widthMs);
}
