import type { FindingChange, RaisedFinding, ReconsideredFinding } from '@lineside/anomaly';
import type { Alarm, AlarmEvent, AlarmJournalEntry } from './alarm.ts';
import { checkedId } from './alarm-id.ts';
import { type AlarmFields, journalEntry } from './journal-entry.ts';
import { isMoreUrgent, withStep } from './priority-steps.ts';
import { nextAlarmState } from './transitions.ts';

/** A raise within this time of `cleared` reopens the alarm; the bound itself is within. */
export const REOPEN_WITHIN_MS: number = 60 * 60_000;

/** Where a finding belongs, and how a new alarm gets its id. */
export interface FindingContext {
  readonly site: string;
  readonly unit: string;
  /** Gives `[A-Za-z0-9_-]{1,64}`, never the same twice. */
  readonly newId: () => string;
}

type Judgement = Pick<Alarm, 'headline' | 'evidence' | 'causes' | 'priorities'>;

/**
 * What a change of a finding does to the alarms of its unit and kind.
 *
 * All times are event times. A change that the alarm reflects already, or that is older than what
 * the alarm reflects, gives no entry, so that a change may be handed in twice. An escalation of
 * what does not stand counts as a raise: an emergency is never lost for want of its beginning.
 * A reopening at a priority above the highest reached gives two entries, reopen and escalate.
 *
 * @param newest the newest alarm of this unit and kind, or null when there was none. A withdrawn
 *   one counts as none.
 * @returns entries in order; the last one has the alarm as it is afterwards.
 * @throws RangeError when `newId` gives something else than an id.
 */
export function applyFinding(
  newest: Alarm | null,
  change: FindingChange,
  context: FindingContext,
): readonly AlarmJournalEntry[] {
  if (newest?.withdrawn === true) return applyFinding(null, change, context);
  if (change.change === 'closed') {
    return newest === null ? [] : clear(newest, change.atMs);
  }
  if (change.change === 'reconsidered') return newest === null ? [] : reconsider(newest, change);
  if (newest === null) return [raise(change, context)];
  if (newest.standing) return escalate(newest, change);
  if (isReflected(newest, change.atMs)) return [];
  const sinceClearedMs = change.atMs - clearedAtMs(newest);
  return sinceClearedMs <= REOPEN_WITHIN_MS ? reopen(newest, change) : [raise(change, context)];
}

function raise(change: RaisedFinding, context: FindingContext): AlarmJournalEntry {
  const { priority, atMs, headline, evidence, causes } = change;
  const alarm: Alarm = {
    id: checkedId(context.newId),
    site: context.site,
    unit: context.unit,
    kind: change.kind,
    priority,
    state: 'normal',
    standing: true,
    raisedAtMs: atMs,
    clearedAtMs: null,
    acknowledgedAtMs: null,
    acknowledgedBy: null,
    shelvedUntilMs: null,
    shelvedBy: null,
    shelveReason: null,
    priorities: [{ priority, sinceMs: atMs, causes }],
    headline,
    evidence,
    causes,
    withdrawn: false,
    revision: 0,
  };
  return { ...found(alarm, 'raise', atMs, {}), from: null };
}

function reopen(alarm: Alarm, change: RaisedFinding): readonly AlarmJournalEntry[] {
  const rises = isMoreUrgent(change.priority, alarm.priority);
  const { headline, evidence, causes, priorities } = newJudgement(alarm, change);
  const entry = found(alarm, 'reopen', change.atMs, {
    headline,
    evidence,
    causes,
    priorities: rises ? alarm.priorities : priorities,
    standing: true,
    clearedAtMs: null,
  });
  return rises ? [entry, ...escalate(entry.alarm, change)] : [entry];
}

function escalate(alarm: Alarm, change: RaisedFinding): readonly AlarmJournalEntry[] {
  const isOlder = change.atMs < alarm.raisedAtMs;
  if (isOlder || !isMoreUrgent(change.priority, alarm.priority)) return [];
  const { priority } = change;
  return [found(alarm, 'escalate', change.atMs, { ...newJudgement(alarm, change), priority })];
}

/** New causes at the same priority: no step, and nobody is called again. */
function reconsider(alarm: Alarm, change: ReconsideredFinding): readonly AlarmJournalEntry[] {
  const { atMs, headline, evidence, causes } = change;
  if (!alarm.standing || atMs < newestStepMs(alarm)) return [];
  const toldMs = alarm.evidence['reconsideredAtMs'];
  if (typeof toldMs === 'number' && atMs <= toldMs) return [];
  return [found(alarm, 'reconsider', atMs, { headline, evidence, causes })];
}

function clear(alarm: Alarm, atMs: number): readonly AlarmJournalEntry[] {
  if (!alarm.standing || atMs < newestStepMs(alarm)) return [];
  return [found(alarm, 'clear', atMs, { standing: false, clearedAtMs: atMs })];
}

function newJudgement(alarm: Alarm, change: RaisedFinding): Judgement {
  const { priority, atMs, headline, evidence, causes } = change;
  const priorities = withStep(alarm.priorities, { priority, sinceMs: atMs, causes });
  return { headline, evidence, causes, priorities };
}

/** The entry of what a watch found. The callers hand in only what the table allows. */
function found(
  alarm: Alarm,
  event: AlarmEvent,
  atMs: number,
  fields: AlarmFields,
): AlarmJournalEntry {
  const next = nextAlarmState(alarm.state, event, fields.standing ?? alarm.standing);
  if (!next.ok) {
    throw new Error(`Alarm ${alarm.id} is ${alarm.state} and cannot ${event}: ${next.reason}`);
  }
  return journalEntry(alarm, { atMs, event, to: next.to, by: 'watch', note: null }, fields);
}

function isReflected(alarm: Alarm, atMs: number): boolean {
  return atMs < clearedAtMs(alarm) || alarm.priorities.some(({ sinceMs }) => sinceMs === atMs);
}

function clearedAtMs(alarm: Alarm): number {
  return alarm.clearedAtMs ?? Number.NEGATIVE_INFINITY;
}

function newestStepMs(alarm: Alarm): number {
  return alarm.priorities.at(-1)?.sinceMs ?? alarm.raisedAtMs;
}
