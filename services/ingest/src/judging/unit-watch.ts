import {
  conditionOf,
  newWatchState,
  restoreWatchState,
  judgedThroughMs as throughMs,
  type UnitCondition,
  type WatchState,
} from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import type { WatchCheckpoint } from '@lineside/storage';

/** What a checkpoint's `state` holds. */
interface SavedState {
  readonly watch: WatchState;
  /** Service records that the watch has heard of. */
  readonly serviceIds: readonly string[];
}

/** One unit's watch as of its last committed judgement. */
export class UnitWatch {
  readonly site: string;
  readonly unit: string;
  state: WatchState;
  /** Service records that the watch has heard of. */
  serviceIds: ReadonlySet<string>;
  /** True while the saved checkpoint is older than `state`. */
  dirty = false;

  constructor(site: string, unit: string, state: WatchState, serviceIds: ReadonlySet<string>) {
    this.site = site;
    this.unit = unit;
    this.state = state;
    this.serviceIds = serviceIds;
  }

  /** Event time of the newest judged reading; null before the first. */
  get judgedThroughMs(): number | null {
    return throughMs(this.state);
  }

  condition(unit: Unit): UnitCondition | null {
    return conditionOf(this.state, unit);
  }
}

/** The checkpoint of a watch; before its first reading everything stored is still to be judged. */
export function checkpointOf(
  site: string,
  unit: string,
  state: WatchState,
  serviceIds: ReadonlySet<string>,
): WatchCheckpoint {
  const saved: SavedState = { watch: state, serviceIds: [...serviceIds] };
  return { site, unit, judgedThroughMs: throughMs(state) ?? 0, state: saved };
}

/**
 * A watch from its checkpoint. `startOver` says that the saved state is of another version of the
 * program: the watch then begins anew after what was judged, because judging the same history
 * twice would raise its alarms twice.
 */
export function watchFromCheckpoint(checkpoint: WatchCheckpoint): {
  readonly watch: UnitWatch;
  readonly startOver: boolean;
} {
  const { site, unit, state } = checkpoint;
  const isSaved = typeof state === 'object' && state !== null && 'watch' in state;
  const watchState = isSaved ? restoreWatchState(state.watch) : null;
  const ids = isSaved && 'serviceIds' in state ? state.serviceIds : [];
  const serviceIds = new Set(Array.isArray(ids) ? ids.filter((id) => typeof id === 'string') : []);
  const watch = new UnitWatch(site, unit, watchState ?? newWatchState(), serviceIds);
  return { watch, startOver: watchState === null };
}
