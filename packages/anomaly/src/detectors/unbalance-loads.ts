import type { DetectorParameters } from './parameters.ts';
import type { ThreePhases } from './sample.ts';
import {
  type AddedLoad,
  type Amps,
  addedStep,
  ampsOf,
  excessWithout,
  impliedLoad,
  isOfKnownLoad,
  isSameLoad,
  type KnownLoad,
  rememberedLoad,
  steppedLoad,
  withoutLoad,
} from './unbalance-added.ts';
import { excessOf, type UnevenStage } from './unbalance-stages.ts';

/** What is followed of the loads that are added to single phases. */
export interface FollowedLoads {
  readonly lastAtMs: number | null;
  readonly last: Amps;
  readonly load: AddedLoad | null;
  readonly known: KnownLoad | null;
  /** What would explain the excess of the stage that ran before as an added load. */
  readonly hint: LoadHint;
}

type LoadHint = readonly [a: number, b: number, c: number, meanAmps: number] | null;

/** Readings this far apart tell a step. */
const STEP_WITHIN_MS = 300_000;
/** An excess from here on may be an added load; below the other, none is there. */
const ADDED_PERCENT = 4;
const NOTHING_ADDED_PERCENT = 2.5;
/** Two stages whose amps tell an added load from what scales with them. */
const OTHER_STAGE_RATIO = 1.5;
/** A load that was only supposed is given up by then: the longest working day. */
const SUPPOSED_MOST_MS = 36_000_000;
/** Three phases carry: a phase below this share of the largest is a lost one. */
const CARRYING_SHARE = 0.15;

type Loads = Pick<FollowedLoads, 'load' | 'known'>;

/** Follows what adds itself to single phases from one reading to the next. */
export function followLoads(
  { load, known, last, lastAtMs }: FollowedLoads,
  currents: ThreePhases,
  atMs: number,
  threePhase: boolean,
  parameters: DetectorParameters,
): Loads {
  if (load !== null && !load.proven && atMs - load.sinceMs > SUPPOSED_MOST_MS) {
    return { load: null, known: null };
  }
  if (lastAtMs === null || atMs - lastAtMs > STEP_WITHIN_MS) return { load, known };
  // At rest a single-phase fan that starts looks the same, and it is part of its stage.
  const wasThreePhase = Math.min(...last) >= CARRYING_SHARE * Math.max(...last);
  const running = threePhase && wasThreePhase;
  if (!running && !parameters.allThreePole) return { load, known };
  const now = ampsOf(currents);
  const added = addedStep(last, now);
  if (added !== null) return { load: steppedLoad(load, added, 1, running, atMs), known };
  const left = addedStep(now, last);
  if (left === null) return { load, known };
  const next = steppedLoad(load, left, -1, running, atMs);
  const isOver = load !== null && next === null;
  return { load: next, known: isOver ? rememberedLoad(known, load, atMs) : known };
}

/** Whether a load came or went that no step showed, as its amps in this learned stage say. */
export function supposeLoads(
  { load, known, hint }: FollowedLoads,
  currents: ThreePhases,
  atMs: number,
  usual: UnevenStage | null,
  meanAmps: number,
  alreadyOver: boolean,
  voltageExplains: boolean,
  usualAsIs: UnevenStage | null,
): Pick<FollowedLoads, 'load' | 'known' | 'hint'> {
  // What fits a stage as it is needs no added load to explain it: a fan's inrush is over, say.
  if (load !== null && usualAsIs !== null) {
    const fits = excessOf(currents, usualAsIs).percent <= NOTHING_ADDED_PERCENT;
    if (fits && excessWithout(currents, load, usual).percent > ADDED_PERCENT) {
      const added = load.amps.every((amps) => amps >= 0);
      return { load: null, known: added ? rememberedLoad(known, load, atMs) : known, hint: null };
    }
  }
  const plain = excessOf(currents, usual).percent;
  if (usual !== null && plain <= NOTHING_ADDED_PERCENT) {
    const wouldShow =
      load !== null && excessOf(withoutLoad(currents, load.amps), usual).percent > ADDED_PERCENT;
    if (!wouldShow) return { load, known, hint: null };
    return { load: null, known: rememberedLoad(known, load, atMs), hint: null };
  }
  if (load !== null && excessWithout(currents, load, usual).percent > plain) {
    return { load: null, known, hint };
  }
  if (load !== null || plain < ADDED_PERCENT || voltageExplains) return { load, known, hint };
  const implied = impliedLoad(currents, usual);
  if (!alreadyOver && isOfKnownLoad(known, implied, atMs)) {
    return { load: { amps: implied, sinceMs: atMs, proven: false }, known, hint };
  }
  if (usual === null) return { load, known, hint };
  if (hint !== null && isOtherStage(hint[3], meanAmps)) {
    const [a, b, c] = hint;
    if (isSameLoad([a, b, c], implied)) {
      return { load: { amps: implied, sinceMs: atMs, proven: true }, known, hint: null };
    }
  }
  return { load, known, hint: [...implied, Math.round(meanAmps * 100) / 100] };
}

function isOtherStage(one: number, other: number): boolean {
  return Math.max(one, other) >= OTHER_STAGE_RATIO * Math.min(one, other);
}
