/** What keeps one slow door, or one slow contact, from holding up the others. */
export interface DelivererLimits {
  /** Tries at once by one channel: ends a storm's pages in seconds, and no server takes it ill. */
  readonly inFlightPerChannel: number;
  /** Tries at once to one contact point: so that a slow gateway is not met with all its pages. */
  readonly inFlightPerContact: number;
  /**
   * Messages taken out of the store at once: bounds memory. Above three times what three channels
   * may have in flight, or what waits for room could hide what has it.
   */
  readonly dueAtOnce: number;
  /** How long `stop` waits for what is in flight; what is not through by then is repeated. */
  readonly stopWithinMs: number;
}

export const DELIVERER_LIMITS: DelivererLimits = {
  inFlightPerChannel: 16,
  inFlightPerContact: 2,
  dueAtOnce: 256,
  stopWithinMs: 5000,
};

/** Longest time without a look at the store: a poke that got lost costs no more than this. */
export const LOOK_AT_LEAST_EVERY_MS = 30_000;

/** Between looks while due messages find no room; a try that ends makes room sooner. */
export const NO_ROOM_WAIT_MS = 1000;

/**
 * Shortest time from one look to the next. In a storm tries end all the time, and each end asks for a
 * look; each look reads up to `dueAtOnce` messages. Small against the second that a page may take.
 */
export const LOOKS_APART_MS = 25;

/** Shortest wait for a message that is due soon: spares the store. */
export const DUE_WAIT_LEAST_MS = 20;
