import type { CauseEstimate, Evidence, FindingKind, Priority } from '@lineside/anomaly';

/** Alarm states of ANSI/ISA-18.2 (IEC 62682), without the latched ones. */
export const ALARM_STATES = [
  'normal',
  'unacknowledged',
  'acknowledged',
  'returned-unacknowledged',
  'shelved',
  'suppressed',
  'out-of-service',
] as const;
export type AlarmState = (typeof ALARM_STATES)[number];

/** One step of an alarm's priority, with the causes as judged then. */
export interface PriorityStep {
  readonly priority: Priority;
  readonly sinceMs: number;
  readonly causes: readonly CauseEstimate[];
}

/** An alarm as the record store keeps it. Times are milliseconds of event time unless said. */
export interface Alarm {
  /** `[A-Za-z0-9_-]{1,64}` */
  readonly id: string;
  readonly site: string;
  readonly unit: string;
  readonly kind: FindingKind;
  /** The highest priority reached. */
  readonly priority: Priority;
  readonly state: AlarmState;
  /** True while the finding behind the alarm stands, whatever the state. */
  readonly standing: boolean;
  readonly raisedAtMs: number;
  readonly clearedAtMs: number | null;
  /** Wall-clock time of the acknowledgement that holds now, else null. */
  readonly acknowledgedAtMs: number | null;
  readonly acknowledgedBy: string | null;
  /** Wall-clock end of shelving while `state` is `shelved`, else null. */
  readonly shelvedUntilMs: number | null;
  readonly shelvedBy: string | null;
  readonly shelveReason: string | null;
  readonly priorities: readonly PriorityStep[];
  readonly headline: string;
  readonly evidence: Evidence;
  readonly causes: readonly CauseEstimate[];
  /**
   * True once later data took its cause away: it is over, never reopens, and nothing can be done to
   * it.
   */
  readonly withdrawn: boolean;
  /** Rises by one with each change; the store refuses a write that is based on an older one. */
  readonly revision: number;
}

/** What can happen to an alarm. */
export const ALARM_EVENTS = [
  'raise',
  'reopen',
  'escalate',
  'reconsider',
  'clear',
  'acknowledge',
  'shelve',
  'unshelve',
  'shelf-expired',
  'hand-on',
  'suppress',
  'unsuppress',
  'take-out-of-service',
  'return-to-service',
  'revise',
  'withdraw',
] as const;
export type AlarmEvent = (typeof ALARM_EVENTS)[number];

/** One line of the append-only journal. */
export interface AlarmJournalEntry {
  /**
   * Event time for what a watch found, wall-clock time for what people did. For `revise` and
   * `withdraw` the event time through which was judged.
   */
  readonly atMs: number;
  readonly event: AlarmEvent;
  readonly from: AlarmState | null;
  readonly to: AlarmState;
  /** `watch`, `clock`, or the name of the person or token. */
  readonly by: string;
  readonly note: string | null;
  /** The alarm after the change. */
  readonly alarm: Alarm;
}
