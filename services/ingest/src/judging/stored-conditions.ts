import type { UnitCondition } from '@lineside/anomaly';
import type { Fleet } from '@lineside/fleet';
import type { WatchCheckpoint } from '@lineside/storage';
import { FleetIndex, unitKey } from '../fleet-index.ts';
import { watchFromCheckpoint } from './unit-watch.ts';

export interface StoredCondition {
  readonly site: string;
  readonly unit: string;
  readonly condition: UnitCondition;
}

/**
 * The conditions of watched units as of their checkpoints, for a process that judges nothing. A
 * checkpoint of another version of the program tells nothing.
 */
export function storedConditions(
  checkpoints: readonly WatchCheckpoint[],
  fleet: Fleet,
): readonly StoredCondition[] {
  const index = new FleetIndex(() => fleet);
  const found = new Map<string, StoredCondition>();
  for (const checkpoint of checkpoints) {
    const { site, unit } = checkpoint;
    const known = index.watched(site, unit);
    const condition = known === null ? null : watchFromCheckpoint(checkpoint)?.condition(known);
    if (condition) found.set(unitKey(site, unit), { site, unit, condition });
  }
  return [...found.values()];
}
