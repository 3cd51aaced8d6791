import type { DetectorParameters } from './parameters.ts';
import type { ThreePhases } from './sample.ts';
import { type AddedLoad, excessWithout } from './unbalance-added.ts';
import {
  type Excess,
  excessOf,
  isLearned,
  type UnevenStage,
  type UnevenStages,
} from './unbalance-stages.ts';

/** A motor's current is not its full-load amps to the last per cent. */
const TWO_POLE_MARGIN = 1.3;
/** Control transformer and heaters draw on two phases, which a small fan shows. */
const CONTROLS_AMPS = 0.3;
/** Among the smaller loads behind a three-pole contactor may be single-phase fans. */
const SMALL_LOADS_SHARE = 0.25;
/** Before a stage is learned, one that draws this much more or less stands for it. */
const NEIGHBOUR_RATIO = 1.5;

/** Over what is usual here, or over what a nameplate allows where that is not learned yet. */
export function excessNow(
  load: AddedLoad | null,
  stages: UnevenStages,
  currents: ThreePhases,
  usual: UnevenStage | null,
  parameters: DetectorParameters,
): Excess | null {
  if (usual !== null) {
    return load === null ? excessOf(currents, usual) : excessWithout(currents, load, usual);
  }
  const { allThreePole, twoPoleAmps, smallestThreePoleAmps } = parameters;
  const nameplateTells =
    (allThreePole && smallestThreePoleAmps !== null) || (twoPoleAmps > 0 && twoPoleAmps < Infinity);
  if (!nameplateTells) return null;
  const even = evenedByNameplate(currents, twoPoleAmps);
  let excess = load === null ? excessOf(even, null) : excessWithout(even, load, null);
  const mean = (currents.a + currents.b + currents.c) / 3;
  for (const neighbour of stages) {
    if (!isLearned(neighbour)) continue;
    const ratio = mean / neighbour[3];
    if (ratio > NEIGHBOUR_RATIO || ratio < 1 / NEIGHBOUR_RATIO) continue;
    const like =
      load === null ? excessOf(currents, neighbour) : excessWithout(currents, load, neighbour);
    if (like.percent < excess.percent) excess = like;
  }
  const meanAmps = mean;
  // In its first hour an installer is there to look, and the largest load is not excused.
  const isNew = meanAmps > parameters.smallLoadAmps && !stages.some(isLearned);
  const smallLoadAmps = isNew ? 0 : SMALL_LOADS_SHARE * parameters.smallLoadAmps;
  const allowed = (100 * (CONTROLS_AMPS + smallLoadAmps)) / meanAmps;
  return { ...excess, percent: Math.max(excess.percent - allowed, 0) };
}

/** What is left once the two-pole loads of the nameplate are taken off the two higher phases. */
function evenedByNameplate(currents: ThreePhases, twoPoleAmps: number): ThreePhases {
  if (twoPoleAmps === 0) return currents;
  const { a, b, c, smallest, largest } = currents;
  const middle = a + b + c - largest - smallest;
  const taken = Math.min(TWO_POLE_MARGIN * twoPoleAmps, middle - smallest);
  const less = (amps: number): number => (amps <= smallest ? amps : amps - taken);
  return { a: less(a), b: less(b), c: less(c), largest: largest - taken, smallest };
}
