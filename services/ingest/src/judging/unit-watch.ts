import {
  conditionOf,
  judgedThroughMs,
  type UnitCondition,
  type WatchState,
} from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import { type JudgementState, newJudgementState, restoreJudgementState } from '@lineside/judging';
import type { UnitRef, WatchCheckpoint } from '@lineside/storage';

/** What a checkpoint's `state` holds. */
interface SavedState {
  readonly judgement: JudgementState;
  /** Service records that the watch has heard of. */
  readonly serviceIds: readonly string[];
}

/** One unit's watch as of its last committed judgement. */
export class UnitWatch {
  readonly ref: UnitRef;
  #state: JudgementState;
  #serviceIds: ReadonlySet<string>;
  #beforeInstant: WatchState | null = null;
  /** True while the saved checkpoint is older than `state`. */
  unsaved = false;

  constructor(ref: UnitRef, state: JudgementState, serviceIds: ReadonlySet<string>) {
    this.ref = ref;
    this.#state = state;
    this.#serviceIds = serviceIds;
  }

  get state(): JudgementState {
    return this.#state;
  }

  get judgedThroughMs(): number | null {
    return judgedThroughMs(this.#state.watch);
  }

  /** Service records that the watch has heard of. */
  get serviceIds(): ReadonlySet<string> {
    return this.#serviceIds;
  }

  /** The watch before the newest instant, if that instant told nothing: it may be judged anew. */
  get beforeInstant(): WatchState | null {
    return this.#beforeInstant;
  }

  /** Takes over a judgement. */
  adopt(
    state: JudgementState,
    serviceIds: ReadonlySet<string>,
    beforeInstant: WatchState | null = null,
  ): void {
    this.#state = state;
    this.#serviceIds = serviceIds;
    this.#beforeInstant = beforeInstant;
    this.unsaved = false;
  }

  condition(unit: Unit): UnitCondition | null {
    return conditionOf(this.#state.watch, unit);
  }
}

export function checkpointOf(
  { site, unit }: UnitRef,
  judgement: JudgementState,
  serviceIds: ReadonlySet<string>,
): WatchCheckpoint {
  const saved: SavedState = { judgement, serviceIds: [...serviceIds] };
  return { site, unit, judgedThroughMs: judgedThroughMs(judgement.watch) ?? 0, state: saved };
}

/**
 * A watch from its checkpoint; null when the saved state is of another version of the program: the
 * unit is then to be judged again from its first reading.
 */
export function watchFromCheckpoint({ site, unit, state }: WatchCheckpoint): UnitWatch | null {
  if (typeof state !== 'object' || state === null || !('judgement' in state)) return null;
  const judgement = restoreJudgementState(state.judgement);
  if (judgement === null) return null;
  const ids = 'serviceIds' in state && Array.isArray(state.serviceIds) ? state.serviceIds : [];
  const serviceIds = new Set(ids.filter((id) => typeof id === 'string'));
  return new UnitWatch({ site, unit }, judgement, serviceIds);
}

/** A unit that nothing is known of yet. */
export function newWatch(ref: UnitRef): UnitWatch {
  return new UnitWatch(ref, newJudgementState(), new Set());
}
