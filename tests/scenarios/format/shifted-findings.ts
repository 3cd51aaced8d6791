import type { UnitOutcome } from './judge-case.ts';

export interface Finding {
  readonly unit: string;
  /** Kind, priority and most probable cause, or source of a wetting. */
  readonly what: string;
  readonly fromMs: number;
  readonly toMs: number | null;
}

/** What was found and when, `shiftMs` taken off the times; ids and evidence left out. */
export function findingsOf(outcomes: readonly UnitOutcome[], shiftMs: number): readonly Finding[] {
  const back = (atMs: number | null): number | null => (atMs === null ? null : atMs - shiftMs);
  return outcomes.flatMap(({ unit, alarms, episodes }) => [
    ...alarms.flatMap(({ kind, priorities, clearedAtMs }) =>
      priorities.map(({ priority, sinceMs, causes }) => ({
        unit,
        what: `${kind} ${priority} because ${causes[0]?.cause}`,
        fromMs: sinceMs - shiftMs,
        toMs: back(clearedAtMs),
      })),
    ),
    ...episodes.map(({ source, startMs, endMs }) => ({
      unit,
      what: `wetting ${source}`,
      fromMs: startMs - shiftMs,
      toMs: back(endMs),
    })),
  ]);
}
