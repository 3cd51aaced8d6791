import { StoreError } from '@lineside/storage';
import type { Disturb, Disturbance } from '../in-memory/store-lane.ts';
import type { Chance } from './chance.ts';
import type { Troubles } from './troubles.ts';

const NO_TROUBLE: Disturbance = { beforeMs: 0, afterMs: 0, failure: null, isDone: false };

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
    return { ...times, failure: failureOf(chance), isDone };
  };
}

function failureOf(chance: Chance): StoreError {
  return chance.happens(0.3)
    ? new StoreError('STORE_FULL', 'no space is left, in this simulation')
    : new StoreError('STORE_UNAVAILABLE', 'no answer, in this simulation');
}
