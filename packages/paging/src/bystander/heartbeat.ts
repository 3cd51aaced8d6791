/** What the bystander looks after: the server process, and parts of its work. */
export const LOOKED_AFTER = ['server', 'ingest', 'judging', 'paging', 'delivery'] as const;
export type LookedAfter = (typeof LOOKED_AFTER)[number];

/**
 * Parts that the server tells of; it is heard itself by telling at all. `paging` makes pages and
 * looks through the outbox, `delivery` is whether any of them gets through to anybody.
 */
export const BEATING_PARTS = ['ingest', 'judging', 'paging', 'delivery'] as const;
export type BeatingPart = (typeof BEATING_PARTS)[number];

/** A sign of life of one part. */
export interface Heartbeat {
  readonly part: BeatingPart;
  /** How long ago its work last went on, 0 while it has none; milliseconds, 0 or more. */
  readonly ageMs: number;
  /** How much waits for it: bytes to commit, readings to judge, pages to hand over. */
  readonly waiting: number;
}

/** What the bystander hears of its server. */
export type Heard =
  /** The server lives; it has no beats while it starts. */
  | { readonly kind: 'beats'; readonly beats: readonly Heartbeat[] }
  /** The server is gone and has not said so before: a crash. */
  | { readonly kind: 'closed' }
  /** Time went by. */
  | { readonly kind: 'nothing' };
