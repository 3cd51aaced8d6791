import { withCalledOff, withChange } from './arrange.ts';
import type { Change, Rota, Team } from './rota.ts';

/** A rota that took the place of another one. */
export interface KeptChanges {
  readonly rota: Rota;
  /** Ids of covers and swaps that were taken over. */
  readonly kept: readonly string[];
  /** Those that name people or teams which are no more. */
  readonly dropped: readonly string[];
}

/**
 * A new rota with the covers and swaps that people arranged meanwhile: those of the rota before it
 * that it does not have itself, after its own, where they still apply. What was called off stays
 * so.
 */
export function keepChanges(rota: Rota, before: Rota): KeptChanges {
  const kept: string[] = [];
  const dropped: string[] = [];
  let now = rota;
  for (const { id, changes } of before.teams) {
    for (const change of changes) {
      const team = now.teams.find((one) => one.id === id);
      const own = team?.changes.find((one) => one.id === change.id);
      if (own !== undefined) {
        if (change.calledOff && !own.calledOff) now = withCalledOff(now, id, change.id);
        continue;
      }
      const after = team === undefined ? null : withKept(now, team, change);
      (after === null ? dropped : kept).push(change.id);
      now = after ?? now;
    }
  }
  return { rota: now, kept, dropped };
}

function withKept(rota: Rota, team: Team, { calledOff, ...change }: Change): Rota | null {
  try {
    const after = withChange(rota, team.id, change);
    return calledOff ? withCalledOff(after, team.id, change.id) : after;
  } catch {
    // It was right when it was arranged; in this rota it has a place no more.
    return null;
  }
}
