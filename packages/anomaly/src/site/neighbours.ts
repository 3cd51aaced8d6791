import { updated } from '../diagnosis/update.ts';
import type { CauseEstimate, FindingChange, Priority } from '../vocabulary.ts';
import { type PowerSlice, powerSpellEndMs, powerSpellStarts } from './power-spells.ts';

/** What the other units of the site did when one went without power. */
export interface NeighbourView {
  /** Went without power, or fell silent, within minutes of it. */
  readonly together: number;
  /** Had power, and kept it. */
  readonly carriedOn: number;
}

/** All that a view is made of: nothing is known of any neighbour. */
export const NO_NEIGHBOURS: NeighbourView = { together: 0, carriedOn: 0 };

const MINUTE_MS = 60_000;
/** Two nodes that report every two minutes see one event this far apart at most. */
const TOGETHER_MS: number = 4 * MINUTE_MS;
const SILENT_MS: number = 15 * MINUTE_MS;
/** So long after the event a neighbour that reports power has carried on. */
export const NEIGHBOUR_SETTLED_MS: number = 5 * MINUTE_MS;
/** A unit still dead so long after the first of the others has power again was left behind. */
const LEFT_BEHIND_MS: number = 10 * MINUTE_MS;

/**
 * How the neighbours fared when a unit went without power.
 *
 * @param others the power slices of the other units of the site.
 * @param sinceMs event time of the unit's last sign of power, or its first without.
 * @param nowMs where silence is judged, the time of it: who was last heard with the unit, a quarter
 *   of an hour ago or more, is silent too. null: only what readings tell.
 */
export function neighbourView(
  others: Iterable<PowerSlice>,
  sinceMs: number,
  nowMs: number | null = null,
): NeighbourView {
  let together = 0;
  let carriedOn = 0;
  for (const slice of others) {
    const part = partOf(slice, sinceMs, nowMs);
    if (part === 'together') together += 1;
    else if (part === 'carried-on') carriedOn += 1;
  }
  return { together, carriedOn };
}

/** Whether a neighbour bears the same on a unit that went without power then, after as before. */
export function sameBearing(before: PowerSlice, after: PowerSlice, sinceMs: number): boolean {
  return partOf(before, sinceMs, null) === partOf(after, sinceMs, null);
}

/**
 * Since when it is known that a unit stayed without power after an outage, ms: the others have it
 * again, so that its own fuses went when power came or failed. Null: no outage, the others are out
 * as well, or the unit came back with them.
 */
export function leftBehindMs(
  own: PowerSlice,
  others: Iterable<PowerSlice>,
  sinceMs: number,
): number | null {
  let backMs = Infinity;
  for (const slice of others) {
    const part = partOf(slice, sinceMs, null);
    if (part === 'carried-on') return null;
    if (part !== 'together') continue;
    for (const startMs of powerSpellStarts(slice)) {
      if (!isTogether(startMs, sinceMs)) continue;
      backMs = Math.min(backMs, powerSpellEndMs(slice, startMs) ?? Infinity);
    }
  }
  const knownMs = backMs + LEFT_BEHIND_MS;
  if (!powerSpellStarts(own).includes(sinceMs) || knownMs > (own.atMs ?? 0)) return null;
  return (powerSpellEndMs(own, sinceMs) ?? Infinity) > knownMs ? knownMs : null;
}

function isTogether(fromMs: number, sinceMs: number): boolean {
  return Math.abs(fromMs - sinceMs) <= TOGETHER_MS;
}

function partOf(
  slice: PowerSlice,
  sinceMs: number,
  nowMs: number | null,
): 'together' | 'carried-on' | null {
  const { atMs, deadFromMs, spells } = slice;
  if (powerSpellStarts(slice).some((fromMs) => isTogether(fromMs, sinceMs))) return 'together';
  if (atMs === null) return null;
  if (nowMs !== null && isTogether(atMs, sinceMs) && nowMs - atMs >= SILENT_MS) return 'together';
  if (atMs < sinceMs + NEIGHBOUR_SETTLED_MS) return null;
  if (deadFromMs !== null && deadFromMs <= sinceMs) return null;
  const minute = sinceMs / MINUTE_MS;
  const settledMinute = (sinceMs + NEIGHBOUR_SETTLED_MS) / MINUTE_MS;
  const wasAway = spells.some(([from, to]) => from <= settledMinute && to >= minute);
  return wasAway ? null : 'carried-on';
}

/** The parts of a finding that the neighbours bear on. */
interface Bearing {
  readonly priority: Priority;
  readonly headline: string;
  readonly causes: readonly CauseEstimate[];
}

/**
 * A finding of a dead or silent unit, with what its neighbours did taken into account. Units that
 * all die in the same minutes have lost the utility: that needs no visit, so that it is routine. A
 * unit that dies alone has lost its own fuses or disconnect.
 */
export function withNeighbours(change: FindingChange, view: NeighbourView): FindingChange {
  // Who replaced fuses knows more than any neighbour tells.
  if (change.change === 'closed' || change.change === 'reconsidered') return change;
  const borne = bearing(change.kind, change, view);
  if (borne === null) return change;
  const { together, carriedOn } = view;
  const evidence = { ...change.evidence, neighboursDeadToo: together, neighboursLive: carriedOn };
  return { ...change, ...borne, evidence };
}

/** What the neighbours make of priority, words and causes; null when they say nothing. */
export function bearing(
  kind: FindingChange['kind'],
  stated: Bearing,
  view: NeighbourView,
): Bearing | null {
  if (view.together === 0 && view.carriedOn === 0) return null;
  if (kind === 'supply-loss') return supplyLoss(stated, view);
  return kind === 'silent' ? silent(stated, view) : null;
}

function supplyLoss(stated: Bearing, { together, carriedOn }: NeighbourView): Bearing {
  const { priority, headline, causes } = stated;
  // A surge of leakage before it told how the fuses went; an outage cannot.
  if (priority === 'emergency') return stated;
  if (carriedOn === 0) {
    const words = `${units(together)} of this site went dead in the same minutes`;
    return {
      priority: 'routine',
      headline: `No power, as on ${units(together)} beside it: utility outage`,
      causes: updated('supply-loss', causes, [{ mark: 'neighbours-too', words }]),
    };
  }
  const words = `${units(carriedOn)} of this site carried on`;
  return {
    priority,
    headline,
    causes: updated('supply-loss', causes, [{ mark: 'neighbours-well', words }]),
  };
}

/** What is said of a dead unit from when it was left behind after an outage. */
export function leftBehind(causes: readonly CauseEstimate[], { together }: NeighbourView): Bearing {
  const words = `${units(together)} of this site went dead with it and have power again`;
  return {
    priority: 'urgent',
    headline: `Still no power after an outage that is over: fuses gone or disconnect open`,
    causes: updated('supply-loss', causes, [{ mark: 'neighbours-well', words }]),
  };
}

function silent(stated: Bearing, { together, carriedOn }: NeighbourView): Bearing {
  const { priority, headline, causes } = stated;
  if (carriedOn > 0) {
    const words = `${units(carriedOn)} of this site are heard`;
    return {
      priority,
      headline,
      causes: updated('silent', causes, [{ mark: 'neighbours-well', words }]),
    };
  }
  const words = `silent with ${units(together)} of this site: the gateway or its connection`;
  return {
    priority,
    headline: `${headline}, nor from ${units(together)} beside it`,
    causes: updated('silent', causes, [{ mark: 'neighbours-silent-too', words }]),
  };
}

function units(count: number): string {
  return count === 1 ? '1 unit' : `${count} units`;
}
