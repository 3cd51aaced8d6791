import { StoreError } from '@lineside/storage';
import type { Disturb, Disturbance } from '../in-memory/store-lane.ts';
import type { Chance } from './chance.ts';
import type { Troubles } from './troubles.ts';

const NO_TROUBLE: Disturbance = {
  beforeMs: 0,
  afterMs: 0,
  failure: null,
  isDone: false,
  whenDone: null,
};

/** The process is killed at the edge of one call of a store. */
interface DeadlyCall {
  readonly operation: string;
  /** Which of these calls, counted from 1. */
  readonly occurrence: number;
  /** Whether the call was done, and only nobody heard of it. */
  readonly isDone: boolean;
}

/**
 * Calls after which, or before which, a restart has something to make good: how often they are
 * drawn, and among how many of their calls.
 */
const DEADLY_OPERATIONS: readonly (readonly [name: string, weight: number, most: number])[] = [
  ['append', 4, 90],
  ['commitJudgement', 3, 90],
  ['markDirty', 3, 6],
  ['addServiceRecord', 3, 6],
  ['changeAlarms', 1, 15],
  ['serviceBetween', 1, 30],
  ['readings', 1, 30],
  ['checkpoints', 1, 4],
];

export function drawDeadlyCalls(chance: Chance, count: number): readonly DeadlyCall[] {
  const weighted = DEADLY_OPERATIONS.flatMap((one) => Array.from({ length: one[1] }, () => one));
  return Array.from({ length: count }, () => {
    const [operation, , most] = chance.pick(weighted);
    return { operation, occurrence: chance.whole(1, most), isDone: chance.happens(0.6) };
  });
}

/** Kills at the given calls; what else happens to a call is for `others` to say. */
export function killAt(
  calls: readonly DeadlyCall[],
  kill: (operation: string) => void,
  others: Disturb,
): Disturb {
  const counts = new Map<string, number>();
  return (operation) => {
    const count = (counts.get(operation) ?? 0) + 1;
    counts.set(operation, count);
    const disturbance = others(operation);
    const deadly = calls.find((one) => one.operation === operation && one.occurrence === count);
    if (deadly === undefined) return disturbance;
    if (deadly.isDone) return { ...NO_TROUBLE, whenDone: () => kill(operation) };
    kill(operation);
    return disturbance;
  };
}

interface Spell {
  readonly untilMs: number;
  readonly failing: number;
  readonly slowMs: number;
}

/**
 * What goes wrong in one store: now and then one call, and in spells most calls. A call fails
 * before it was done, or it was done and its answer is lost.
 */
export function storeTrouble(chance: Chance, troubles: Troubles, nowMs: () => number): Disturb {
  let spell: Spell = { untilMs: 0, failing: 0, slowMs: 0 };
  return () => {
    if (!troubles.areOn) return null;
    if (nowMs() >= spell.untilMs && chance.happens(troubles.storeSpells)) {
      const failing = chance.pick([0, 0.5, 1]);
      const slowMs = chance.pick([0, 300, 3_000]);
      spell = { untilMs: nowMs() + chance.whole(200, 15_000), failing, slowMs };
    }
    const inSpell = nowMs() < spell.untilMs;
    const failing = inSpell ? spell.failing : troubles.storeFails;
    const slowMs = inSpell ? spell.slowMs : troubles.storeSlowMs;
    const isDone = chance.happens(0.3);
    const wait = (): number => (chance.happens(0.5) ? chance.whole(0, slowMs) : 0);
    const times = { beforeMs: wait(), afterMs: wait() };
    if (!chance.happens(failing)) return { ...NO_TROUBLE, ...times };
    return { ...NO_TROUBLE, ...times, failure: failureOf(chance), isDone };
  };
}

function failureOf(chance: Chance): StoreError {
  return chance.happens(0.3)
    ? new StoreError('STORE_FULL', 'no space is left, in this simulation')
    : new StoreError('STORE_UNAVAILABLE', 'no answer, in this simulation');
}
