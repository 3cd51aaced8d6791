import type { Priority } from '@lineside/anomaly';
import { type AlarmJournalEntry, actOnAlarm, applyFinding } from '../../src/index.ts';
import { opened } from '../sample-alarm.ts';

export const MINUTE_MS = 60_000;
export const HOUR_MS: number = 60 * MINUTE_MS;
export const DAY_MS: number = 24 * HOUR_MS;
/** Midnight, so that it begins a day and a 10-minute span. */
export const FROM_MS: number = Date.UTC(2026, 0, 10);

/** One alarm from the raise on. */
export interface Story {
  readonly site?: string;
  readonly unit?: string;
  readonly priority?: Priority;
  readonly atMs: number;
  readonly acknowledgedAtMs?: number;
  readonly clearedAtMs?: number;
  /** Times at which it comes back, each within the hour after it cleared. */
  readonly reopenedAtMs?: number;
}

let count = 0;

/** The journal of one alarm. */
export function journalOf(story: Story): readonly AlarmJournalEntry[] {
  count += 1;
  const id = `a${count}`;
  const context = {
    site: story.site ?? 'pier-nine',
    unit: story.unit ?? 'rtu-01',
    newId: () => id,
  };
  const entries = [...applyFinding(null, opened(story.atMs, story.priority), context)];
  const last = () => entries.at(-1)?.alarm ?? null;
  const { acknowledgedAtMs, clearedAtMs, reopenedAtMs } = story;
  if (acknowledgedAtMs !== undefined) {
    const alarm = last();
    if (alarm === null) throw new Error('nothing was raised');
    const done = actOnAlarm(alarm, { type: 'acknowledge' }, { atMs: acknowledgedAtMs, by: 'rosa' });
    if (done.ok && done.entry !== null) entries.push(done.entry);
  }
  if (clearedAtMs !== undefined) {
    const change = { change: 'closed', kind: 'leakage', atMs: clearedAtMs } as const;
    entries.push(...applyFinding(last(), change, context));
  }
  if (reopenedAtMs !== undefined) {
    entries.push(...applyFinding(last(), opened(reopenedAtMs, story.priority), context));
  }
  return entries;
}

/** Alarms of as many units, `everyMs` apart. */
export function burst(alarms: number, atMs: number, everyMs: number): AlarmJournalEntry[] {
  return Array.from({ length: alarms }, (_, index) =>
    journalOf({ unit: `rtu-${index}`, atMs: atMs + index * everyMs }),
  ).flat();
}
