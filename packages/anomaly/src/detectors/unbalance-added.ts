import {
  type FieldGuard,
  type FieldGuards,
  hasShape,
  isBoolean,
  isListOf,
  isNullOr,
  isNumber,
} from '../field-guards.ts';
import { hundredths } from './kept-digits.ts';
import type { ThreePhases } from './sample.ts';
import { type Excess, excessOf, type UnevenStage } from './unbalance-stages.ts';

/**
 * A load that is added to one or two phases while the others carry on: a service outlet in use, a
 * single-phase fan that comes and goes by itself. It is no fault, however uneven it makes the unit.
 *
 * A motor without neutral cannot do that: what a lost voltage or a bad contact takes from one of
 * its phases the others gain, about half each, and the three changes add up to nothing. So a rise
 * of one or two phases between two readings, with no other phase falling, is an added load, and
 * the amps that it added are taken off before the unit is judged, whatever stage runs, until the
 * same amps go again. Where it came or went within a change of stage, the amps decide: those of an
 * added load stay the same from one stage to another, while a fault scales with the load.
 *
 * Limits: what was plugged in before the first reading, or while no stage changes, and what added
 * itself within a change of stage, cannot be told from a fault before the next change. A load on
 * two phases counts by magnitudes, so its amps depend on the power factor of what else runs.
 */
export interface AddedLoad {
  /** What each phase carries more (or less, when a usual load left), A. */
  readonly amps: Amps;
  readonly sinceMs: number;
  /** Its coming was seen, or the same amps in two stages. */
  readonly proven: boolean;
}

/** One that came and went before. */
export interface KnownLoad {
  readonly phases: number;
  readonly amps: number;
  readonly times: number;
  readonly atMs: number;
}

export type Amps = readonly [a: number, b: number, c: number];

export const isAddedLoad: FieldGuard = isNullOr(
  hasShape<AddedLoad>({ amps: isListOf(isNumber, 3), sinceMs: isNumber, proven: isBoolean }),
);
const KNOWN_FIELDS: FieldGuards<KnownLoad> = {
  phases: isNumber,
  amps: isNumber,
  times: isNumber,
  atMs: isNumber,
};
export const isKnownLoad: FieldGuard = isNullOr(hasShape(KNOWN_FIELDS));

/** Smaller steps are the wandering of a load; as a share of what the phases carry. */
const LEAST_STEP_AMPS = 0.5;
const LEAST_STEP_SHARE = 0.025;
const WANDERS_SHARE = 0.012;
/** An outlet's circuit breaker holds 15 or 20 A. Common practice, no source. */
const MOST_STEP_AMPS = 20;
/** The other phases keep still within this share of the step, and what loads wander by. */
const STILL_SHARE = 0.06;
const STILL_AMPS = 0.1;
/** Less than this is left of a load that went. */
const GONE_SHARE = 0.35;
const GONE_AMPS = 0.3;
/** The same amps, as far as magnitudes tell that add up as vectors. */
const SAME_SHARE = 0.3;
const KNOWN_FOR_MS: number = 21 * 24 * 3_600_000;
const MOST_TIMES = 3;

const PHASE_COUNT = 3;

/** Change of each phase when exactly one or two rose and none fell, else null. */
export function addedStep(before: Amps, now: Amps): Amps | null {
  let rise = 0;
  let carried = 0;
  for (let phase = 0; phase < PHASE_COUNT; phase += 1) {
    const last = before[phase] ?? 0;
    rise = Math.max(rise, (now[phase] ?? 0) - last);
    carried = Math.max(carried, last);
  }
  if (rise < Math.max(LEAST_STEP_AMPS, LEAST_STEP_SHARE * carried) || rise > MOST_STEP_AMPS) {
    return null;
  }
  const still = STILL_AMPS + STILL_SHARE * rise + WANDERS_SHARE * carried;
  let rose = 0;
  const step = before.map((last, phase) => {
    const change = (now[phase] ?? 0) - last;
    if (change > still) rose += 1;
    return change > still ? change : change < -still ? Number.NaN : 0;
  });
  const [a, b, c] = step;
  if (a === undefined || b === undefined || c === undefined) return null;
  return rose === PHASE_COUNT || Number.isNaN(a + b + c) ? null : [a, b, c];
}

export function ampsOf({ a, b, c }: ThreePhases): Amps {
  return [a, b, c];
}

export function withoutLoad({ a, b, c }: ThreePhases, amps: Amps | null): Phases {
  if (amps === null) return { a, b, c };
  const [more, other, third] = amps;
  return { a: Math.max(a - more, 0), b: Math.max(b - other, 0), c: Math.max(c - third, 0) };
}

type Phases = Pick<ThreePhases, 'a' | 'b' | 'c'>;

/** Bit n: phase n carries it. */
function phasesOfLoad(amps: Amps): number {
  let bits = 0;
  const most = Math.max(...amps.map(Math.abs));
  for (let phase = 0; phase < PHASE_COUNT; phase += 1) {
    if (Math.abs(amps[phase] ?? 0) > GONE_SHARE * most) bits |= 1 << phase;
  }
  return bits;
}

function sizeOfLoad(amps: Amps): number {
  return Math.max(...amps.map(Math.abs));
}

/** What stands after a step that added (`sign` 1) or took away (-1); null: nothing. */
export function steppedLoad(
  load: AddedLoad | null,
  step: Amps,
  sign: 1 | -1,
  running: boolean,
  atMs: number,
): AddedLoad | null {
  const before = load?.amps ?? [0, 0, 0];
  const after: Amps = [
    hundredths(before[0] + sign * step[0]),
    hundredths(before[1] + sign * step[1]),
    hundredths(before[2] + sign * step[2]),
  ];
  const gone = Math.max(GONE_AMPS, GONE_SHARE * sizeOfLoad(step));
  if (sizeOfLoad(after) <= gone) return null;
  // One phase that falls alone is a sensor's matter, and at rest a heater may end: no usual load left.
  const alone = load === null && step.filter((amps) => amps > 0).length === 1;
  return sign < 0 && (alone || !running)
    ? null
    : { amps: after, sinceMs: load?.sinceMs ?? atMs, proven: true };
}

export function rememberedLoad(known: KnownLoad | null, load: AddedLoad, atMs: number): KnownLoad {
  const phases = phasesOfLoad(load.amps);
  const amps = hundredths(sizeOfLoad(load.amps));
  if (known === null || atMs - known.atMs > KNOWN_FOR_MS) return { phases, amps, times: 1, atMs };
  return {
    phases: known.phases | phases,
    amps: Math.max(amps, hundredths(0.8 * known.amps + 0.2 * amps)),
    times: Math.min(known.times + 1, MOST_TIMES),
    atMs,
  };
}

/**
 * The load that would explain why the phases are uneven: what one or two of them carry over the
 * least of the three, by the usual shares. null when all three would have to carry more.
 */
export function impliedLoad({ a, b, c }: Phases, usual: UnevenStage | null): Amps {
  const shareA = 1 + (usual === null ? 0 : usual[1]) / 100;
  const shareB = 1 + (usual === null ? 0 : usual[2]) / 100;
  const shareC = 3 - shareA - shareB;
  const least = Math.min(a / shareA, b / shareB, c / shareC);
  return [
    hundredths(Math.max(a - least * shareA, 0)),
    hundredths(Math.max(b - least * shareB, 0)),
    hundredths(Math.max(c - least * shareC, 0)),
  ];
}

/** A load that came and went at least twice, and is of these phases and amps. */
export function isOfKnownLoad(known: KnownLoad | null, implied: Amps, atMs: number): boolean {
  if (known === null || known.times < 2 || atMs - known.atMs > KNOWN_FOR_MS) return false;
  return (
    (phasesOfLoad(implied) & ~known.phases) === 0 &&
    sizeOfLoad(implied) <= (1 + SAME_SHARE) * known.amps
  );
}

export function isSameLoad(one: Amps, other: Amps): boolean {
  const least = Math.min(sizeOfLoad(one), sizeOfLoad(other));
  const most = Math.max(sizeOfLoad(one), sizeOfLoad(other));
  return (
    phasesOfLoad(one) === phasesOfLoad(other) &&
    most <= MOST_STEP_AMPS &&
    least * (1 + SAME_SHARE) >= most
  );
}

/** True when one phase stands out upwards and the other two are as usual, within `percent`. */
export function isOneHigh({ a, b, c }: Excess, percent: number): boolean {
  const high = Math.max(a, b, c);
  const low = Math.min(a, b, c);
  const middle = a + b + c - high - low;
  return middle - low <= percent && high > 2 * percent;
}

/** What is left when the load that stands is taken off, its amps being known to a third. */
export function excessWithout(
  currents: ThreePhases,
  load: AddedLoad,
  usual: UnevenStage | null,
): Excess {
  const whole = excessOf(withoutLoad(currents, load.amps), usual);
  const implied = impliedLoad(currents, usual);
  const added = load.amps;
  const positive = added.every((amps) => amps >= 0);
  if (!positive) return whole;
  const bits = phasesOfLoad(added);
  const most = (1 + SAME_SHARE) * sizeOfLoad(added);
  const taken = implied.map((amps, phase) =>
    (bits & (1 << phase)) === 0 ? 0 : Math.min(amps, most),
  );
  const [a = 0, b = 0, c = 0] = taken;
  const refitted = excessOf(withoutLoad(currents, [a, b, c]), usual);
  return refitted.percent < whole.percent ? refitted : whole;
}
