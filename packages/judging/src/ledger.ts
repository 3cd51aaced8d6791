import { type Alarm, applyFinding, REOPEN_WITHIN_MS } from '@lineside/alarms';
import type { FindingChange, FindingKind } from '@lineside/anomaly';

/**
 * The newest alarm of each kind of one unit as its data alone make it: nobody has acted on them.
 * Replays start from it, since a raise within the hour reopens what had cleared before.
 */
export type Ledger = ReadonlyMap<FindingKind, Alarm>;

/**
 * Changes are dated by when a criterion was met, which may lie before the reading that shows it;
 * no delay of a criterion that ends is longer than this.
 */
const DATED_BACK_MOST_MS = 26 * 3_600_000;

/**
 * Tells the ledger of a change.
 *
 * @param finished called with an alarm that a new one of its kind takes the place of.
 */
export function enterFinding(
  ledger: Map<FindingKind, Alarm>,
  change: FindingChange,
  place: { readonly site: string; readonly unit: string },
  finished: (alarm: Alarm) => void,
): void {
  const { kind, atMs } = change;
  const before = ledger.get(kind) ?? null;
  const newId = (): string => `${kind}-${atMs.toString(36)}`;
  const last = applyFinding(before, change, { ...place, newId }).at(-1);
  if (last === undefined) return;
  if (before !== null && before.id !== last.alarm.id) finished(before);
  ledger.set(kind, last.alarm);
}

/** Whether a change from `throughMs` on can still touch the alarm. */
export function mayChange(alarm: Alarm, throughMs: number): boolean {
  const { clearedAtMs } = alarm;
  return clearedAtMs === null || clearedAtMs + REOPEN_WITHIN_MS + DATED_BACK_MOST_MS >= throughMs;
}
