import type { Level } from './level-rule.ts';
import type { LoadState } from './signals.ts';

/** What a ladder says has changed. */
export type LadderChange =
  | {
      readonly change: 'opened' | 'escalated';
      readonly level: 0 | 1 | 2;
      readonly state: LoadState;
    }
  | { readonly change: 'closed' };

const MINUTE_MS = 60_000;
/** Nobody knows what happened in a longer gap: it counts as this much. */
const LONGEST_STEP_MS: number = 10 * MINUTE_MS;
/** So long everything must be in control before the finding closes. */
const CLOSING_MS: number = 60 * MINUTE_MS;

interface Dwell {
  /** Time spent at each level or above without a break, in this load state. */
  readonly aboveMs: [number, number, number];
  inControl: boolean;
}

/**
 * Turns levels into findings: a step is taken when its level has lasted, and the finding closes
 * when everything has been in control for an hour. Time counts by load state, since a fault of a
 * load that comes and goes with the load is there all the while.
 */
export class Ladder {
  readonly #holdMs: number;
  readonly #dwells: Record<LoadState, Dwell> = { idle: newDwell(), running: newDwell() };
  #lastMs: number | null = null;
  #calmMs = 0;
  #standing: Level = -1;

  constructor(holdMinutes: number) {
    this.#holdMs = holdMinutes * MINUTE_MS;
  }

  get standing(): boolean {
    return this.#standing >= 0;
  }

  /** Whether the signal was in control when it was last seen in this state. */
  inControl(state: LoadState): boolean {
    return this.#dwells[state].inControl;
  }

  step(atMs: number, state: LoadState, level: Level): LadderChange | null {
    const elapsedMs = Math.min(atMs - (this.#lastMs ?? atMs), LONGEST_STEP_MS);
    this.#lastMs = atMs;
    const dwell = this.#dwells[state];
    dwell.inControl = level < 0;
    let reached: Level = -1;
    for (const rank of [0, 1, 2] as const) {
      // A first value out of control starts the time, the ones after it count.
      const lastedMs = dwell.aboveMs[rank];
      dwell.aboveMs[rank] =
        level < rank ? Number.NaN : Number.isNaN(lastedMs) ? 0 : lastedMs + elapsedMs;
      if (dwell.aboveMs[rank] >= this.#holdMs) reached = rank;
    }
    const calm = this.#dwells.idle.inControl && this.#dwells.running.inControl;
    this.#calmMs = calm ? this.#calmMs + elapsedMs : 0;
    return this.#change(reached, state);
  }

  #change(reached: Level, state: LoadState): LadderChange | null {
    if (this.#standing >= 0 && this.#calmMs >= CLOSING_MS) {
      this.#standing = -1;
      return { change: 'closed' };
    }
    if (reached === -1 || reached <= this.#standing) return null;
    const change = this.#standing < 0 ? 'opened' : 'escalated';
    this.#standing = reached;
    return { change, level: reached, state };
  }
}

function newDwell(): Dwell {
  return { aboveMs: [Number.NaN, Number.NaN, Number.NaN], inControl: true };
}
