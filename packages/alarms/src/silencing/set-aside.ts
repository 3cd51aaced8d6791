import { actOnAlarm } from '../act.ts';
import type { Alarm, AlarmJournalEntry } from '../alarm.ts';
import { type SilencingHold, silencingDue } from './silencing-due.ts';

/**
 * Entries after which each alarm of a unit is set aside or not, as it should be now: what
 * `silencingDue` asks for, done. So that what is raised already set aside asks nobody in between,
 * they are to be committed together with the raise.
 *
 * @param alarms of one unit.
 * @param holds of that unit.
 * @param nowMs by the clock on the wall.
 */
export function settleSilencing(
  alarms: readonly Alarm[],
  holds: readonly SilencingHold[],
  nowMs: number,
): readonly AlarmJournalEntry[] {
  const now = [...alarms];
  const entries: AlarmJournalEntry[] = [];
  for (let round = 0; round < ROUNDS_MOST; round++) {
    const before = entries.length;
    for (const [at, alarm] of now.entries()) {
      const action = silencingDue(alarm, now, holds, nowMs);
      if (action === null) continue;
      const outcome = actOnAlarm(alarm, action, { atMs: nowMs, by: 'clock' });
      if (!outcome.ok || outcome.entry === null) continue;
      entries.push(outcome.entry);
      now[at] = outcome.alarm;
    }
    if (entries.length === before) break;
  }
  return entries;
}

/** Two actions are the most that an alarm needs. */
const ROUNDS_MOST = 3;
