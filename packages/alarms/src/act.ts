import type { Alarm, AlarmJournalEntry } from './alarm.ts';
import { type AlarmFields, journalEntry } from './journal-entry.ts';
import { nextAlarmState } from './transitions.ts';

/** Furthest end of a shelf: a repair visit is planned within a month, common practice, no source. */
export const SHELVE_MOST_MS: number = 30 * 24 * 60 * 60_000;

/** A sentence or two. */
export const SHELVE_REASON_MOST_CHARACTERS = 500;

/** A sentence or two. */
export const ALARM_NOTE_MOST_CHARACTERS = 500;

/** Whatever else people say with it; an empty note is none. */
interface Noted {
  /** At most `ALARM_NOTE_MOST_CHARACTERS`, for example `on my way`. */
  readonly note?: string;
}

/** What sets an alarm aside by itself, or brings it back, says why in the journal. */
interface Explained {
  /** 1 to `ALARM_NOTE_MOST_CHARACTERS`. */
  readonly note: string;
}

/** What people, and the clock for them, do to an alarm. */
export type AlarmAction =
  | (Noted & { readonly type: 'acknowledge' | 'hand-on' })
  | { readonly type: 'shelve'; readonly untilMs: number; readonly reason: string }
  | { readonly type: 'unshelve' }
  | { readonly type: 'shelf-expired' }
  | (Explained & { readonly type: 'suppress' | 'unsuppress' })
  | (Explained & { readonly type: 'take-out-of-service' | 'return-to-service' });

export interface ActionContext {
  /** Wall-clock time. */
  readonly atMs: number;
  /** Name of the person or token; `clock` for what happens by itself. */
  readonly by: string;
}

/**
 * - `ALARM_WRONG_STATE`: not in this state.
 * - `ALARM_BAD_SHELF`: until when or why is not right.
 * - `ALARM_BAD_NOTE`: the note is too long, or missing where one is needed.
 */
export type ActionRefusalCode = 'ALARM_WRONG_STATE' | 'ALARM_BAD_SHELF' | 'ALARM_BAD_NOTE';

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
 * Acknowledges, hands on, shelves or unshelves an alarm, ends its shelf, suppresses it or takes it
 * out of service and brings it back.
 *
 * Acknowledging what is acknowledged, and shelving anew with the same end and reason, is no error
 * and gives no entry; with a note the note is journalled, and the first acknowledgement holds.
 * Shelving what is shelved moves the end. Refusals are values.
 */
export function actOnAlarm(
  alarm: Alarm,
  action: AlarmAction,
  context: ActionContext,
): ActionOutcome {
  if (alarm.withdrawn) return refusal('ALARM_WRONG_STATE', WITHDRAWN);
  const next = nextAlarmState(alarm.state, action.type, alarm.standing);
  if (!next.ok) return refusal('ALARM_WRONG_STATE', `the alarm is ${alarm.state}: ${next.reason}`);
  const fault = faultOf(alarm, action, context.atMs);
  if (fault !== null) return fault;
  if (isSame(alarm, action)) return { ok: true, alarm, entry: null };
  const line = { ...context, event: action.type, to: next.to, note: noteOf(action) };
  const entry = journalEntry(alarm, line, fieldsOf(alarm, action, context));
  return { ok: true, alarm: entry.alarm, entry };
}

const WITHDRAWN =
  'the alarm is withdrawn: later data took its cause away and nothing can be done to it';

function faultOf(alarm: Alarm, action: AlarmAction, atMs: number): ActionOutcome | null {
  if (action.type === 'shelve') {
    const fault = shelfFault(action, atMs);
    return fault === null ? null : refusal('ALARM_BAD_SHELF', fault);
  }
  if (action.type === 'shelf-expired' && atMs < (alarm.shelvedUntilMs ?? 0)) {
    return refusal('ALARM_WRONG_STATE', 'the alarm is shelved: its time is not over yet');
  }
  const fault = noteFault(action);
  return fault === null ? null : refusal('ALARM_BAD_NOTE', fault);
}

function isSame(alarm: Alarm, action: AlarmAction): boolean {
  if (action.type === 'acknowledge') {
    return alarm.state === 'acknowledged' && noteOf(action) === null;
  }
  if (action.type !== 'shelve') return false;
  return alarm.shelvedUntilMs === action.untilMs && alarm.shelveReason === action.reason.trim();
}

function noteOf(action: AlarmAction): string | null {
  if (action.type === 'shelve') return action.reason.trim();
  const note = 'note' in action ? action.note?.trim() : undefined;
  return note === undefined || note === '' ? null : note;
}

function fieldsOf(alarm: Alarm, action: AlarmAction, context: ActionContext): AlarmFields {
  const { atMs, by } = context;
  if (action.type === 'acknowledge') {
    const isFirst = alarm.state !== 'acknowledged';
    return isFirst ? { acknowledgedAtMs: atMs, acknowledgedBy: by } : {};
  }
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

const EXPLAINED: ReadonlySet<AlarmAction['type']> = new Set([
  'suppress',
  'unsuppress',
  'take-out-of-service',
  'return-to-service',
]);

function noteFault(action: AlarmAction): string | null {
  const length = noteOf(action)?.length ?? 0;
  if (length === 0 && EXPLAINED.has(action.type)) return 'note must say why';
  if (length <= ALARM_NOTE_MOST_CHARACTERS) return null;
  return `note must have at most ${ALARM_NOTE_MOST_CHARACTERS} characters, it has ${length}`;
}

function refusal(code: ActionRefusalCode, reason: string): ActionOutcome {
  return { ok: false, code, reason };
}
