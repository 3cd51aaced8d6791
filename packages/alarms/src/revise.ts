import type { Alarm, AlarmJournalEntry, AlarmState, PriorityStep } from './alarm.ts';
import { type AlarmFields, journalEntry } from './journal-entry.ts';
import { isMoreUrgent } from './priority-steps.ts';
import { rfc3339 } from './rfc3339.ts';
import { sameJson } from './same-json.ts';
import { nextAlarmState, revisedAlarmState, type Transition } from './transitions.ts';

/** What watches say of an alarm; the rest is what people did, and the journal's own. */
export type JudgedFields = Pick<
  Alarm,
  | 'priority'
  | 'standing'
  | 'raisedAtMs'
  | 'clearedAtMs'
  | 'priorities'
  | 'headline'
  | 'evidence'
  | 'causes'
>;

/** An alarm's judged fields. */
export function judgedFields(alarm: Alarm): JudgedFields {
  const { priority, standing, raisedAtMs, clearedAtMs } = alarm;
  const { priorities, headline, evidence, causes } = alarm;
  return { priority, standing, raisedAtMs, clearedAtMs, priorities, headline, evidence, causes };
}

/**
 * The entry that makes a stored alarm what was judged anew, or null when it is so already. It is
 * `clear` or `escalate` where nothing else has happened to it, else `revise`. What people did stays,
 * but a higher priority asks for attention again.
 *
 * @param atMs event time through which was judged.
 */
export function revise(stored: Alarm, judged: Alarm, atMs: number): AlarmJournalEntry | null {
  const fields = judgedFields(judged);
  const changed = changedFields(stored, fields);
  if (changed.size === 0) return null;
  return (
    clearing(stored, fields, changed) ??
    escalation(stored, fields, changed) ??
    revision(stored, fields, atMs)
  );
}

/**
 * The entry that takes back an alarm for which there is no cause any more.
 *
 * @param atMs event time through which was judged.
 */
export function withdraw(stored: Alarm, atMs: number): AlarmJournalEntry {
  const clearedAtMs = stored.clearedAtMs ?? Math.max(atMs, stored.raisedAtMs);
  const to = allowed(stored, nextAlarmState(stored.state, 'withdraw', false));
  const note = 'later data took its cause away';
  const line = { atMs, event: 'withdraw', to, by: 'watch', note } as const;
  return journalEntry(stored, line, { standing: false, clearedAtMs, withdrawn: true });
}

type Changed = ReadonlySet<keyof JudgedFields>;

function changedFields(stored: Alarm, judged: JudgedFields): Changed {
  const before = judgedFields(stored);
  const names = Object.keys(before) as readonly (keyof JudgedFields)[];
  return new Set(names.filter((name) => !sameJson(before[name], judged[name])));
}

function isOnly(changed: Changed, names: readonly (keyof JudgedFields)[]): boolean {
  return [...changed].every((name) => names.includes(name));
}

function clearing(stored: Alarm, judged: JudgedFields, changed: Changed): AlarmJournalEntry | null {
  const { clearedAtMs } = judged;
  if (!stored.standing || clearedAtMs === null) return null;
  if (!isOnly(changed, ['standing', 'clearedAtMs'])) return null;
  const to = allowed(stored, nextAlarmState(stored.state, 'clear', false));
  const line = { atMs: clearedAtMs, event: 'clear', to, by: 'watch', note: null } as const;
  return journalEntry(stored, line, judged);
}

function escalation(
  stored: Alarm,
  judged: JudgedFields,
  changed: Changed,
): AlarmJournalEntry | null {
  if (!stored.standing || !isOnly(changed, GAINED_BY_RISING)) return null;
  const kept = judged.priorities.slice(0, stored.priorities.length);
  const gained = judged.priorities.slice(stored.priorities.length);
  const newest = gained.at(-1);
  const areRises = gained.every((step, index) =>
    isMoreUrgent(step.priority, gained[index - 1]?.priority ?? stored.priority),
  );
  if (newest === undefined || !areRises || !sameJson(kept, stored.priorities)) return null;
  const to = allowed(stored, nextAlarmState(stored.state, 'escalate', true));
  const line = { atMs: newest.sinceMs, event: 'escalate', to, by: 'watch', note: null } as const;
  return journalEntry(stored, line, judged);
}

const GAINED_BY_RISING = ['priority', 'priorities', 'headline', 'evidence', 'causes'] as const;

function revision(stored: Alarm, judged: JudgedFields, atMs: number): AlarmJournalEntry {
  const isRise = isMoreUrgent(judged.priority, stored.priority);
  const to = allowed(stored, revisedAlarmState(stored.state, judged.standing, isRise));
  const note = noteOf(stored, judged);
  const fields: AlarmFields = judged;
  return journalEntry(stored, { atMs, event: 'revise', to, by: 'watch', note }, fields);
}

/** Short words of what changed. */
function noteOf(stored: Alarm, judged: JudgedFields): string {
  const changed = changedFields(stored, judged);
  const times = [
    changed.has('raisedAtMs')
      ? `raised ${rfc3339(judged.raisedAtMs)} instead of ${rfc3339(stored.raisedAtMs)}`
      : null,
    changed.has('clearedAtMs')
      ? `${endWords(judged.clearedAtMs)} instead of ${endWords(stored.clearedAtMs)}`
      : null,
    changed.has('priority') ? `${judged.priority} instead of ${stored.priority}` : null,
    changed.has('priorities') ? stepWords(judged.priorities) : null,
  ];
  const others = (['headline', 'evidence', 'causes'] as const).filter((name) => changed.has(name));
  const words = times.filter((one) => one !== null);
  return [...words, ...(others.length > 0 ? [`other ${others.join(', ')}`] : [])].join('; ');
}

function endWords(clearedAtMs: number | null): string {
  return clearedAtMs === null ? 'standing' : `cleared ${rfc3339(clearedAtMs)}`;
}

/** A note is a line: of many steps the newest are named. */
const NOTED_STEPS_MOST = 3;

function stepWords(steps: readonly PriorityStep[]): string {
  const named = steps.slice(-NOTED_STEPS_MOST);
  const words = named.map(({ priority, sinceMs }) => `${priority} since ${rfc3339(sinceMs)}`);
  return `steps now ${steps.length > named.length ? '…, ' : ''}${words.join(', ')}`;
}

/** The state that the table gives. The callers ask only for what it allows. */
function allowed(alarm: Alarm, next: Transition): AlarmState {
  if (next.ok) return next.to;
  throw new Error(`Alarm ${alarm.id} is ${alarm.state} and cannot be judged anew: ${next.reason}`);
}
