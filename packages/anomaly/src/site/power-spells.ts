import type { OperatingState } from '../condition.ts';
import type { Sample } from '../detectors/sample.ts';
import {
  type FieldGuard,
  type FieldGuards,
  isListOf,
  isNumber,
  isNumberOrNull,
} from '../field-guards.ts';

/**
 * When a unit was without power or not heard: what its neighbours on the site ask about. From its
 * own readings only. Raises nothing.
 */
export interface PowerSlice {
  /** Newest instant that told of power, or of none, ms. */
  readonly atMs: number | null;
  /** First dead reading of the spell that goes on. */
  readonly deadFromMs: number | null;
  /** The newest spells that are over, oldest first. */
  readonly spells: readonly PowerSpell[];
}

/** First and last minute (since 1970) without power, or without a reading. */
export type PowerSpell = readonly [fromMinute: number, toMinute: number];

/** A gap this long is a spell as well: a node on the unit's own supply dies with it. */
const GAP_MS: number = 15 * 60_000;
/** A year of outages and lost connections, and little room in the saved state. */
const MOST_SPELLS = 10;
const MINUTE_MS = 60_000;

export const POWER_START: PowerSlice = { atMs: null, deadFromMs: null, spells: [] };

const isSpell: FieldGuard = (value) =>
  Array.isArray(value) && value.length === 2 && value.every(isNumber);

export const POWER_FIELDS: FieldGuards<PowerSlice> = {
  atMs: isNumberOrNull,
  deadFromMs: isNumberOrNull,
  spells: isListOf(isSpell, MOST_SPELLS),
};

/** Instants that bring neither currents nor voltages tell nothing. */
export function stepPower(slice: PowerSlice, sample: Sample, state: OperatingState): PowerSlice {
  const { atMs, currents, groundVolts, lineVolts } = sample;
  const tells = currents !== null || groundVolts !== null || lineVolts !== null;
  if (!tells || state === 'unknown') return slice;
  const before = slice.atMs ?? atMs;
  const gap = atMs - before >= GAP_MS && slice.deadFromMs === null;
  const spells = gap ? withSpell(slice.spells, before, atMs) : slice.spells;
  if (state === 'dead') return { atMs, deadFromMs: slice.deadFromMs ?? atMs, spells };
  if (slice.deadFromMs === null) return { atMs, deadFromMs: null, spells };
  return { atMs, deadFromMs: null, spells: withSpell(spells, slice.deadFromMs, atMs) };
}

/** The minute in which the unit went without power, ms, if it was without at that time. */
export function withoutPowerSinceMs(slice: PowerSlice, atMs: number): number | null {
  const { deadFromMs, spells } = slice;
  if (deadFromMs !== null && deadFromMs <= atMs) return wholeMinuteMs(deadFromMs);
  const minute = atMs / MINUTE_MS;
  const spell = spells.findLast(([from, to]) => from <= minute && minute <= to);
  return spell === undefined ? null : spell[0] * MINUTE_MS;
}

/** The minute in which each known spell began, the one that goes on included, ms. */
export function powerSpellStarts({ deadFromMs, spells }: PowerSlice): readonly number[] {
  const starts = spells.map(([from]) => from * MINUTE_MS);
  return deadFromMs === null ? starts : [...starts, wholeMinuteMs(deadFromMs)];
}

/** When the known spell that began then was over, ms; null: it goes on, or is not known. */
export function powerSpellEndMs(
  { deadFromMs, spells }: PowerSlice,
  startMs: number,
): number | null {
  let endMinute: number | null = null;
  for (const [from, to] of spells) {
    // A gap after which the unit is dead is one spell with what follows.
    if (from === startMs / MINUTE_MS || from === endMinute) endMinute = to;
  }
  if (endMinute === null) return null;
  const goesOn = deadFromMs !== null && deadFromMs <= endMinute * MINUTE_MS;
  return goesOn ? null : endMinute * MINUTE_MS;
}

/** Of a spell that is over its whole minutes are kept; so that one that goes on is told alike. */
function wholeMinuteMs(atMs: number): number {
  return Math.floor(atMs / MINUTE_MS) * MINUTE_MS;
}

function withSpell(
  spells: readonly PowerSpell[],
  fromMs: number,
  toMs: number,
): readonly PowerSpell[] {
  const spell: PowerSpell = [Math.floor(fromMs / MINUTE_MS), Math.ceil(toMs / MINUTE_MS)];
  return [...spells.slice(1 - MOST_SPELLS), spell];
}
