import type { Chance } from './chance.ts';

/** How bad things are in one run: each of the kinds may be absent, so that others show alone. */
export interface Troubles {
  /** False once everything works: the rest then has no say. */
  areOn: boolean;
  /** Probability that one transmission, or one acknowledgement, is lost. */
  readonly lost: number;
  readonly repeated: number;
  /** Longest way through the network, ms: messages overtake each other. */
  readonly delayMs: number;
  /** Mean time between two ends of a link, ms. */
  readonly linkHoldsMs: number;
  /** Part of the messages that their node sends late. */
  readonly late: number;
  /** Longest time by which a late one is late, ms. */
  readonly latestMs: number;
  readonly storeFails: number;
  readonly storeSlowMs: number;
  readonly storeSpells: number;
  readonly crashes: number;
  /** Ends of the process at the edge of a call of a store. */
  readonly deadlyCalls: number;
  readonly cleanRestarts: number;
}

/** Virtual time during which everything is sent and goes wrong, ms. */
export const TROUBLED_MS: number = 8 * 60_000;

export function drawTroubles(chance: Chance): Troubles {
  return {
    areOn: true,
    lost: chance.pick([0, 0, 0.02, 0.3]),
    repeated: chance.pick([0, 0, 0.05, 0.4]),
    delayMs: chance.pick([0, 20, 2_000, 9_000]),
    linkHoldsMs: chance.pick([Infinity, Infinity, 120_000, 25_000]),
    late: chance.pick([0, 0.005, 0.03, 0.3]),
    latestMs: chance.pick([3_000, 60_000, TROUBLED_MS]),
    storeFails: chance.pick([0, 0, 0.01, 0.08]),
    storeSlowMs: chance.pick([0, 5, 5, 400]),
    storeSpells: chance.pick([0, 0, 0.003]),
    crashes: chance.pick([0, 1, 2, 5]),
    deadlyCalls: chance.pick([0, 2, 6, 12]),
    cleanRestarts: chance.pick([0, 0, 1, 2]),
  };
}
