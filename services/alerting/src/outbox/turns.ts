import type { DelivererLimits } from './limits.ts';

/**
 * How many of what finds no room stay at the head of the outbox, as a multiple of what may be in
 * flight: when a try ends the next is at hand, and yet messages of other ways are seen behind them.
 */
const KEPT_AT_HAND = 2;

/** How long the others step back: about as long as what is at hand lasts when tries are quick. */
export const STEP_BACK_MS = 250;

/** Which messages that found no room in one look stay where they are, and which step back. */
export class Turns {
  readonly #limits: DelivererLimits;
  readonly #kept = new Map<string, number>();

  constructor(limits: DelivererLimits) {
    this.#limits = limits;
  }

  /** True for the first of each channel and contact point; false once enough are at hand. */
  staysAtHand(channel: string, contact: string): boolean {
    const { inFlightPerChannel, inFlightPerContact } = this.#limits;
    const ofChannel = this.#kept.get(channel) ?? 0;
    const ofContact = this.#kept.get(`${channel} ${contact}`) ?? 0;
    const isEnough =
      ofChannel >= KEPT_AT_HAND * inFlightPerChannel ||
      ofContact >= KEPT_AT_HAND * inFlightPerContact;
    if (isEnough) return false;
    this.#kept.set(channel, ofChannel + 1);
    this.#kept.set(`${channel} ${contact}`, ofContact + 1);
    return true;
  }
}
