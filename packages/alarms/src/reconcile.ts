import type { Alarm, AlarmJournalEntry } from './alarm.ts';
import { checkedId } from './alarm-id.ts';
import { journalEntry } from './journal-entry.ts';
import { byRaise, matchAlarms } from './match-alarms.ts';
import { judgedFields, revise, withdraw } from './revise.ts';
import { nextAlarmState } from './transitions.ts';

export interface ReconcileContext {
  /** Event time through which was judged. */
  readonly atMs: number;
  /** Gives `[A-Za-z0-9_-]{1,64}`, never the same twice. */
  readonly newId: () => string;
}

/**
 * Makes the journal say what judging anew found. A judged alarm that matches a stored one (see
 * `matchAlarms`) revises it: id, acknowledgement and shelf stay. One without a match is raised,
 * also when it is over already, in one entry with all its steps, so that it is announced once. A
 * stored alarm without a match is withdrawn.
 *
 * Entries come in an order in which at most one alarm of a kind stands at any time. Applied, they
 * leave nothing to reconcile.
 *
 * @param stored the unit's alarms that may be touched, at most one of a kind standing; withdrawn
 *   ones are left alone.
 * @param judged what was judged for the same span, at most one of a kind standing. Ids and what
 *   people did have no say.
 * @throws RangeError when `newId` gives something else than an id.
 */
export function reconcileAlarms(
  stored: readonly Alarm[],
  judged: readonly Alarm[],
  { atMs, newId }: ReconcileContext,
): readonly AlarmJournalEntry[] {
  const alive = stored.filter(({ withdrawn }) => !withdrawn);
  const { pairs, gone, added } = matchAlarms(alive, judged);
  const revisions = pairs
    .map((pair) => revise(pair.stored, pair.judged, atMs))
    .filter((entry) => entry !== null);
  const raises = added.map((alarm) => raise(alarm, newId));
  const ended = (entry: AlarmJournalEntry): boolean => !entry.alarm.standing;
  const begun = (entry: AlarmJournalEntry): boolean => entry.alarm.standing;
  return [
    ...gone.map((alarm) => withdraw(alarm, atMs)),
    ...inOrder(revisions.filter(ended)),
    ...raises.filter(ended),
    ...inOrder(revisions.filter(begun)),
    ...raises.filter(begun),
  ];
}

function inOrder(entries: readonly AlarmJournalEntry[]): readonly AlarmJournalEntry[] {
  return [...entries].sort((a, b) => byRaise(a.alarm, b.alarm));
}

function raise(judged: Alarm, newId: () => string): AlarmJournalEntry {
  const next = nextAlarmState('normal', 'raise', judged.standing);
  if (!next.ok) throw new Error(`A judged alarm cannot be raised: ${next.reason}`);
  const { site, unit, kind, raisedAtMs } = judged;
  const nothing: Alarm = {
    ...judgedFields(judged),
    id: checkedId(newId),
    site,
    unit,
    kind,
    state: 'normal',
    acknowledgedAtMs: null,
    acknowledgedBy: null,
    shelvedUntilMs: null,
    shelvedBy: null,
    shelveReason: null,
    withdrawn: false,
    revision: 0,
  };
  const line = { atMs: raisedAtMs, event: 'raise', to: next.to, by: 'watch', note: null } as const;
  return { ...journalEntry(nothing, line, {}), from: null };
}
