import type { UnitRunTruth, UnitWorld } from '@lineside/rooftop';

interface KeepsTruth {
  runTruth(endMs: number): UnitRunTruth;
}

/** @throws Error when the world was built without a log of what happened in it. */
export function unitTruth(unitWorld: UnitWorld, endMs: number): UnitRunTruth {
  if (!keepsTruth(unitWorld)) {
    throw new Error('this world keeps no truth of its runs: there is nothing to score against');
  }
  return unitWorld.runTruth(endMs);
}

function keepsTruth(world: object): world is KeepsTruth {
  return 'runTruth' in world && typeof world.runTruth === 'function';
}
