import { overlap, QUARTER_MS, type Span } from '../sqlite/telemetry/week.ts';
import type { Source, UnitTags } from './influxql.ts';

const DAY_MS = 86_400_000;

/** What a question may take from quarters of an hour, of the span that it is about. */
export interface SummedUp {
  /** Quarters that end at or before it are summed up; 0 when none are. */
  readonly beforeMs: number;
  /** Starts of the days whose quarters lack late readings, ascending, by `unitKey`. */
  readonly lateDays: ReadonlyMap<string, readonly number[]>;
}

export const NOTHING_SUMMED_UP: SummedUp = { beforeMs: 0, lateDays: new Map() };

/** A part of a span, and where its values come from. */
export interface SpanPart {
  readonly span: Span;
  readonly source: Source;
}

export function unitKey({ site, unit }: UnitTags): string {
  return `${site}/${unit}`;
}

/** Start of the UTC day that holds `atMs`. */
export function dayStart(atMs: number): number {
  return Math.floor(atMs / DAY_MS) * DAY_MS;
}

export function daySpan(dayMs: number): Span {
  return { fromMs: dayMs, toMs: dayMs + DAY_MS };
}

/**
 * Splits a span of a unit, oldest part first: whole quarters that are summed up and lack nothing
 * come from those, everything else from readings. The parts cover the span without overlap.
 */
export function unitParts(span: Span, unit: UnitTags, summed: SummedUp): readonly SpanPart[] {
  const quarters = wholeQuarters(span, summed.beforeMs);
  if (quarters === null) return [{ span, source: 'readings' }];
  const parts: SpanPart[] = [];
  const add = (fromMs: number, toMs: number, source: Source): void => {
    if (fromMs >= toMs) return;
    const last = parts.at(-1);
    if (last?.source !== source) parts.push({ span: { fromMs, toMs }, source });
    else parts.splice(-1, 1, { span: { fromMs: last.span.fromMs, toMs }, source });
  };
  add(span.fromMs, quarters.fromMs, 'readings');
  let atMs = quarters.fromMs;
  for (const dayMs of summed.lateDays.get(unitKey(unit)) ?? []) {
    const late = overlap(daySpan(dayMs), quarters);
    if (late === null) continue;
    add(atMs, late.fromMs, 'quarters');
    add(late.fromMs, late.toMs, 'readings');
    atMs = late.toMs;
  }
  add(atMs, quarters.toMs, 'quarters');
  add(quarters.toMs, span.toMs, 'readings');
  return parts;
}

/** The whole quarters of the span that are summed up; null for none. */
export function wholeQuarters(span: Span, beforeMs: number): Span | null {
  const fromMs = Math.ceil(span.fromMs / QUARTER_MS) * QUARTER_MS;
  const toMs = Math.min(Math.floor(span.toMs / QUARTER_MS) * QUARTER_MS, beforeMs);
  return fromMs < toMs ? { fromMs, toMs } : null;
}
