/**
 * Times in which a unit's alarms ask nobody. `maintenance`: commissioning and visits; alarms are
 * journalled and shown, nobody is paged. `out-of-service`: ANSI/ISA-18.2; alarms are set aside with
 * the unit. Both end by themselves.
 */
export type HoldWord = 'maintenance' | 'out-of-service';

/** When a hold is in force, by the clock on the wall, half open. */
export interface HoldSpan {
  readonly kind: HoldWord;
  readonly fromMs: number;
  readonly untilMs: number;
  /** When somebody ended it before `untilMs`, else null. */
  readonly endedAtMs: number | null;
}

/** What somebody asks for. */
export interface HoldRequest {
  readonly kind: HoldWord;
  readonly owner: string;
  readonly reason: string;
  readonly fromMs: number;
  readonly untilMs: number;
}

const DAY_MS = 86_400_000;

/**
 * Longest hold of each kind. Commissioning takes weeks at most; a unit waits half a year for a
 * compressor or the next season. Who needs more says so again. Common practice, no source.
 */
export const HOLD_MOST_MS: Readonly<Record<HoldWord, number>> = {
  maintenance: 30 * DAY_MS,
  'out-of-service': 180 * DAY_MS,
};

/** How far ahead a hold may begin: a season's visits are planned, common practice, no source. */
export const HOLD_AHEAD_MOST_MS: number = 90 * DAY_MS;

/** How far back a hold may begin: somebody says so from the roof, a little later. */
export const HOLD_BACK_MOST_MS: number = DAY_MS;

/** A name. */
export const HOLD_OWNER_MOST_CHARACTERS = 120;

/** A sentence or two, so that it fits into the note of a journal entry with owner and end. */
export const HOLD_REASON_MOST_CHARACTERS = 300;

/** What is wrong with it and where. */
export interface HoldFault {
  readonly path: 'owner' | 'reason' | 'from' | 'until';
  /** Goes on after the path: `must lie ahead`. */
  readonly words: string;
}

/** What is wrong with a hold that somebody asks for, or null. */
export function holdFault(hold: HoldRequest, nowMs: number): HoldFault | null {
  const { owner, reason, fromMs, untilMs, kind } = hold;
  const fault = (path: HoldFault['path'], words: string): HoldFault => ({ path, words });
  if (owner.trim() === '') return fault('owner', 'must say who answers for it');
  if (owner.trim().length > HOLD_OWNER_MOST_CHARACTERS) {
    return fault('owner', `must have at most ${HOLD_OWNER_MOST_CHARACTERS} characters`);
  }
  if (reason.trim() === '') return fault('reason', 'must say why');
  if (reason.trim().length > HOLD_REASON_MOST_CHARACTERS) {
    return fault('reason', `must have at most ${HOLD_REASON_MOST_CHARACTERS} characters`);
  }
  if (!(fromMs >= nowMs - HOLD_BACK_MOST_MS)) return fault('from', 'must lie within the last day');
  if (fromMs > nowMs + HOLD_AHEAD_MOST_MS) return fault('from', 'must lie within 90 days');
  if (!(untilMs > nowMs)) return fault('until', 'must lie ahead');
  if (untilMs <= fromMs) return fault('until', 'must be later than from');
  if (untilMs - fromMs <= HOLD_MOST_MS[kind]) return null;
  return fault('until', `must be at most ${HOLD_MOST_MS[kind] / DAY_MS} days after from`);
}

/** When it is over, planned or ended before. */
export function holdEndMs({ untilMs, endedAtMs }: HoldSpan): number {
  return endedAtMs === null ? untilMs : Math.min(untilMs, endedAtMs);
}

/** Whether a hold is in force: from included, end excluded. */
export function isHeld(hold: HoldSpan, atMs: number): boolean {
  return hold.fromMs <= atMs && atMs < holdEndMs(hold);
}

/**
 * The hold of one unit that is in force, or null: out of service before maintenance, since it asks
 * for more; of one kind the one that lasts longest.
 */
export function holdInForce<T extends HoldSpan>(holds: readonly T[], atMs: number): T | null {
  let found: T | null = null;
  for (const hold of holds) {
    if (isHeld(hold, atMs) && (found === null || isStronger(hold, found))) found = hold;
  }
  return found;
}

function isStronger(one: HoldSpan, other: HoldSpan): boolean {
  if (one.kind !== other.kind) return one.kind === 'out-of-service';
  return holdEndMs(one) > holdEndMs(other);
}
