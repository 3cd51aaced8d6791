import type { Alarm, AlarmEvent, AlarmJournalEntry, AlarmState } from './alarm.ts';

/** What an event says about itself. */
export interface JournalLine {
  readonly atMs: number;
  readonly event: AlarmEvent;
  readonly to: AlarmState;
  readonly by: string;
  readonly note: string | null;
}

/** Fields of an alarm that an event may change beside its state. */
export type AlarmFields = Partial<
  Omit<Alarm, 'id' | 'site' | 'unit' | 'kind' | 'state' | 'revision'>
>;

/**
 * The entry of one change: the alarm after it, one revision up. An acknowledgement ends where
 * attention is asked for again, a shelf where its state ends.
 */
export function journalEntry(
  alarm: Alarm,
  line: JournalLine,
  fields: AlarmFields,
): AlarmJournalEntry {
  const { to } = line;
  const after: Alarm = {
    ...alarm,
    ...(asksForAttention(to) || line.event === 'reopen' ? NOT_ACKNOWLEDGED : {}),
    ...(to === 'shelved' ? {} : NOT_SHELVED),
    ...fields,
    state: to,
    revision: alarm.revision + 1,
  };
  return { ...line, from: alarm.state, alarm: after };
}

function asksForAttention(state: AlarmState): boolean {
  return state === 'unacknowledged' || state === 'returned-unacknowledged';
}

const NOT_ACKNOWLEDGED = { acknowledgedAtMs: null, acknowledgedBy: null } as const;
const NOT_SHELVED = { shelvedUntilMs: null, shelvedBy: null, shelveReason: null } as const;
