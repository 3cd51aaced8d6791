import { PRIORITIES, type Priority, type WettingSource } from '@lineside/anomaly';
import { fusesLostAtLeast } from './fuses-lost.ts';
import { comparePlaces } from './place.ts';
import type { UnitReview } from './unit-review.ts';

/** From the least to the most harm. */
const BY_HARM: readonly WettingSource[] = ['humid-weather', 'condensation', 'water-ingress'];

/** The source that does most harm; null for none. */
export function worstSource(sources: readonly WettingSource[]): WettingSource | null {
  const worst = Math.max(-1, ...sources.map((source) => BY_HARM.indexOf(source)));
  return BY_HARM[worst] ?? null;
}

/**
 * Orders units by harm, the most harmed first: fuses lost, then priority of alarms, then leakage
 * above the unit's own, then the source of the water, then hours of wetness, then the name.
 * Whoever lost fuses has a path that conducts; the next wetting finds it again. A judgement, no
 * source.
 */
export function compareHarm(one: UnitReview, other: UnitReview): number {
  return (
    fusesLostAtLeast(other.fuses) - fusesLostAtLeast(one.fuses) ||
    rank(other.highestPriority) - rank(one.highestPriority) ||
    (other.excessMilliamps ?? 0) - (one.excessMilliamps ?? 0) ||
    sourceRank(other.source) - sourceRank(one.source) ||
    other.wetHours - one.wetHours ||
    comparePlaces(one, other)
  );
}

/** The highest of some priorities; null for none. */
export function highestPriority(priorities: readonly Priority[]): Priority | null {
  return PRIORITIES[Math.max(-1, ...priorities.map(rank))] ?? null;
}

function rank(priority: Priority | null): number {
  return priority === null ? -1 : PRIORITIES.indexOf(priority);
}

function sourceRank(source: WettingSource | null): number {
  return source === null ? -1 : BY_HARM.indexOf(source);
}
