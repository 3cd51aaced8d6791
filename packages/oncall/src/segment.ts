import type { Turn } from './turn.ts';

/** A part of a turn that one person has. */
export interface Segment {
  readonly fromMs: number;
  readonly toMs: number;
  readonly turn: Turn;
  readonly person: string | null;
  /** Ids of the covers and swaps that brought the person here, in their order. */
  readonly changes: readonly string[];
}

export function segmentOf(turn: Turn): Segment {
  const { fromMs, toMs, person } = turn;
  return { fromMs, toMs, turn, person, changes: [] };
}

/**
 * Changes what lies in a window and leaves the rest: segments across its ends are cut there. What
 * was tiled before is tiled after.
 */
export function changeWithin(
  segments: readonly Segment[],
  fromMs: number,
  toMs: number,
  change: (segment: Segment) => Segment,
): Segment[] {
  return segments.flatMap((segment) => {
    const startMs = Math.max(segment.fromMs, fromMs);
    const endMs = Math.min(segment.toMs, toMs);
    if (startMs >= endMs) return [segment];
    const inside = change({ ...segment, fromMs: startMs, toMs: endMs });
    const parts = [inside];
    if (segment.fromMs < startMs) parts.unshift({ ...segment, toMs: startMs });
    if (endMs < segment.toMs) parts.push({ ...segment, fromMs: endMs });
    return parts;
  });
}

/** Joins neighbours of one turn and person, so that a cut without effect does not show. */
export function joined(segments: readonly Segment[]): Segment[] {
  const result: Segment[] = [];
  for (const segment of segments) {
    const last = result.at(-1);
    if (last !== undefined && last.turn === segment.turn && last.person === segment.person) {
      const changes = [...new Set([...last.changes, ...segment.changes])];
      result[result.length - 1] = { ...last, toMs: segment.toMs, changes };
    } else {
      result.push(segment);
    }
  }
  return result;
}
