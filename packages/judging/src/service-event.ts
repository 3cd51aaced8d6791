import type { Phase } from '@lineside/anomaly';

/** What a service record tells a watch. */
export interface ServiceEvent {
  /** Event time, ms. */
  readonly atMs: number;
  readonly action: string;
  readonly phases: readonly Phase[] | null;
}

/**
 * Order in which service records of one unit are judged: by event time, and at one time by their
 * words, so that it does not matter in which order people wrote them down.
 */
export function compareServices(one: ServiceEvent, other: ServiceEvent): number {
  return one.atMs - other.atMs || compareText(wordsOf(one), wordsOf(other));
}

/** The phases of a record as it was posted; null when it names none that exist. */
export function phasesOf(value: unknown): readonly Phase[] | null {
  return Array.isArray(value) ? value.filter(isPhase) : null;
}

function isPhase(value: unknown): value is Phase {
  return value === 'a' || value === 'b' || value === 'c';
}

function wordsOf({ action, phases }: ServiceEvent): string {
  return `${action} ${phases?.join('') ?? ''}`;
}

function compareText(one: string, other: string): number {
  if (one === other) return 0;
  return one < other ? -1 : 1;
}
