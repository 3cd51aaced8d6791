import type { World } from '../world/world.ts';
import type { RunTruth } from './truth.ts';

/**
 * What a run knows about itself.
 *
 * @param endMs where the run ends; all units must have been stepped up to there.
 */
export function worldTruth(world: World, endMs: number): RunTruth {
  return {
    seed: world.seed,
    startMs: world.startMs,
    endMs,
    units: world.units.map((unit) => unit.runTruth(endMs)),
  };
}
