import type { Alarm, AlarmJournalEntry } from './alarm.ts';
import { type AlarmFields, journalEntry } from './journal-entry.ts';
import { nextAlarmState } from './transitions.ts';

/** Furthest end of a shelf: a repair visit is planned within a month, common practice, no source. */
export const SHELVE_MOST_MS: number = 30 * 24 * 60 * 60_000;

/** A sentence or two. */
export const SHELVE_REASON_MOST_CHARACTERS = 500;

/** What people, and the clock for them, do to an alarm. */
export type AlarmAction =
  | { readonly type: 'acknowledge' }
  | { readonly type: 'shelve'; readonly untilMs: number; readonly reason: string }
  | { readonly type: 'unshelve' }
  | { readonly type: 'shelf-expired' };

export interface ActionContext {
  /** Wall-clock time. */
  readonly atMs: number;
  /** Name of the person or token; `clock` for a shelf's end. */
  readonly by: string;
}

/** - `ALARM_WRONG_STATE`: not in this state. `ALARM_BAD_SHELF`: until when or why is not right. */
export type ActionRefusalCode = 'ALARM_WRONG_STATE' | 'ALARM_BAD_SHELF';

export type ActionOutcome =
  | {
      readonly ok: true;
      /** The alarm afterwards. */
      readonly alarm: Alarm;
      /** null when the alarm was so already: nothing is to be written. */
      readonly entry: AlarmJournalEntry | null;
    }
  | {
      readonly ok: false;
      readonly code: ActionRefusalCode;
      /** For people, without a full stop: `the alarm is normal: …`. */
      readonly reason: string;
    };

/**
 * Acknowledges, shelves or unshelves an alarm, or ends its shelf.
 *
 * Acknowledging what is acknowledged, and shelving anew with the same end and reason, is no error
 * and gives no entry. Shelving what is shelved moves the end. Refusals are values.
 */
export function actOnAlarm(
  alarm: Alarm,
  action: AlarmAction,
  context: ActionContext,
): ActionOutcome {
  if (alarm.withdrawn) return refusal('ALARM_WRONG_STATE', WITHDRAWN);
  const next = nextAlarmState(alarm.state, action.type, alarm.standing);
  if (!next.ok) return refusal('ALARM_WRONG_STATE', `the alarm is ${alarm.state}: ${next.reason}`);
  if (action.type === 'acknowledge' && alarm.state === 'acknowledged') return unchanged(alarm);
  if (action.type === 'shelve') {
    const fault = shelfFault(action, context.atMs);
    if (fault !== null) return refusal('ALARM_BAD_SHELF', fault);
    const isSame =
      alarm.shelvedUntilMs === action.untilMs && alarm.shelveReason === action.reason.trim();
    if (isSame) return unchanged(alarm);
  }
  if (action.type === 'shelf-expired' && context.atMs < (alarm.shelvedUntilMs ?? 0)) {
    return refusal('ALARM_WRONG_STATE', 'the alarm is shelved: its time is not over yet');
  }
  const note = action.type === 'shelve' ? action.reason.trim() : null;
  const line = { ...context, event: action.type, to: next.to, note };
  const entry = journalEntry(alarm, line, fieldsOf(action, context));
  return { ok: true, alarm: entry.alarm, entry };
}

const WITHDRAWN =
  'the alarm is withdrawn: later data took its cause away and nothing can be done to it';

function fieldsOf(action: AlarmAction, { atMs, by }: ActionContext): AlarmFields {
  if (action.type === 'acknowledge') return { acknowledgedAtMs: atMs, acknowledgedBy: by };
  if (action.type !== 'shelve') return {};
  const shelveReason = action.reason.trim();
  return { shelvedUntilMs: action.untilMs, shelvedBy: by, shelveReason };
}

type Shelving = Extract<AlarmAction, { readonly type: 'shelve' }>;

function shelfFault({ untilMs, reason }: Shelving, atMs: number): string | null {
  if (!(untilMs > atMs)) return 'until must lie ahead';
  if (untilMs - atMs > SHELVE_MOST_MS) return 'until must lie within 30 days';
  const length = reason.trim().length;
  if (length === 0) return 'reason must say why';
  if (length <= SHELVE_REASON_MOST_CHARACTERS) return null;
  return `reason must have at most ${SHELVE_REASON_MOST_CHARACTERS} characters, it has ${length}`;
}

function unchanged(alarm: Alarm): ActionOutcome {
  return { ok: true, alarm, entry: null };
}

function refusal(code: ActionRefusalCode, reason: string): ActionOutcome {
  return { ok: false, code, reason };
}
