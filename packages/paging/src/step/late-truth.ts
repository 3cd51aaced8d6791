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
 * So long an alarm from a backlog waits before it asks, so that the rest of the backlog can say that
 * it has ended. Late readings are judged after 30 s at most.
 */
export const LATE_SETTLES_FOR_MS: number = MINUTE_MS;

/** What ended longer ago than a long weekend stays in the journal and is in no digest. */
export const DIGEST_LOOKS_BACK_MS: number = 72 * HOUR_MS;

/**
 * So long an alarm waits that may be suppressed by design: what suppresses it comes with the same
 * reading, and the journal says so a moment later.
 */
export const SUPPRESSIBLE_SETTLES_FOR_MS = 500;

const SUPPRESSIBLE: ReadonlySet<FindingKind> = new Set(SUPPRESSION_RULES.map(({ what }) => what));

/** How long an alarm waits before it asks; what people and the clock do waits for nothing. */
export function settlesForMs({ by, atMs, alarm }: AlarmJournalEntry, nowMs: number): number {
  if (by !== 'watch') return 0;
  if (nowMs - atMs > LATE_AFTER_MS) return LATE_SETTLES_FOR_MS;
  return SUPPRESSIBLE.has(alarm.kind) ? SUPPRESSIBLE_SETTLES_FOR_MS : 0;
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
