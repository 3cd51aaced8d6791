import { type AlarmJournalEntry, SUPPRESSION_RULES } from '@lineside/alarms';
import type { FindingKind } from '@lineside/anomaly';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;

/**
 * What a watch found to have happened so long ago came out of a backlog. A node that sends every
 * few minutes is not late.
 */
export const LATE_AFTER_MS: number = 10 * MINUTE_MS;

/**
 * So long an alarm from a backlog waits at least before it asks, and an emergency at most, so that
 * the rest of the backlog can say that it has ended. Late readings are judged after 30 s at most.
 */
export const LATE_SETTLES_FOR_MS: number = MINUTE_MS;

/**
 * So long an alarm from a backlog waits at most for its unit to catch up. A node's memory of a day
 * has come in by then, and a longer wait would keep what stands from people.
 */
export const LATE_SETTLES_AT_MOST_MS: number = 10 * MINUTE_MS;

/**
 * A unit that is judged to within so long of now has caught up: nodes send every few minutes, and
 * one pack may be lost.
 */
export const CAUGHT_UP_WITHIN_MS: number = 15 * MINUTE_MS;

/** What ended longer ago than a long weekend stays in the journal and is in no digest. */
export const DIGEST_LOOKS_BACK_MS: number = 72 * HOUR_MS;

/**
 * So long an alarm waits that may be suppressed by design: what suppresses it comes with the same
 * reading, and the journal says so a moment later.
 */
export const SUPPRESSIBLE_SETTLES_FOR_MS = 500;

const SUPPRESSIBLE: ReadonlySet<FindingKind> = new Set(SUPPRESSION_RULES.map(({ what }) => what));

/** When an alarm begins to ask. */
export interface Settling {
  readonly askingSinceMs: number;
  /** It asks earlier, from then on, once its unit has caught up. */
  readonly onceCaughtUpFromMs?: number;
}

/** How long an alarm settles before it asks; what people and the clock do waits for nothing. */
export function settlingOf({ by, atMs, alarm }: AlarmJournalEntry, nowMs: number): Settling {
  if (by !== 'watch') return { askingSinceMs: nowMs };
  if (nowMs - atMs > LATE_AFTER_MS) {
    const soonestMs = nowMs + LATE_SETTLES_FOR_MS;
    // A unit that says nothing catches up with nothing.
    const waitsForRest = alarm.priority !== 'emergency' && alarm.kind !== 'silent';
    if (!waitsForRest) return { askingSinceMs: soonestMs };
    return { askingSinceMs: nowMs + LATE_SETTLES_AT_MOST_MS, onceCaughtUpFromMs: soonestMs };
  }
  const isSuppressible = SUPPRESSIBLE.has(alarm.kind);
  return { askingSinceMs: nowMs + (isSuppressible ? SUPPRESSIBLE_SETTLES_FOR_MS : 0) };
}

/**
 * True for an alarm that ended before anybody was asked, of late: the digest is then the only one to
 * tell of it. Whoever answered it knows of it already.
 */
export function isOverUntold({ alarm, event }: AlarmJournalEntry, nowMs: number): boolean {
  if (alarm.standing || event === 'acknowledge') return false;
  if (alarm.state !== 'returned-unacknowledged' && alarm.state !== 'normal') return false;
  return nowMs - (alarm.clearedAtMs ?? nowMs) <= DIGEST_LOOKS_BACK_MS;
}
