import type { Priority } from '@lineside/anomaly';
import { WEEKDAYS, type Weekday } from '../local-time.ts';

/** Whom an alarm asks, in this order. */
export const LEVELS = ['first', 'second', 'team', 'office'] as const;
export type Level = (typeof LEVELS)[number];

export type EscalationPolicy = Readonly<Record<Priority, PriorityPolicy>>;

export interface PriorityPolicy {
  /** A part of `LEVELS` in their order, ending with the office, which is always there. */
  readonly ladder: readonly Level[];
  /** How long each level has to acknowledge before the next one is asked. */
  readonly acknowledgeWithinMinutes: number;
  /** When not to page; what falls into them is asked for by the morning digest. */
  readonly quietHours: QuietHours | null;
}

export interface QuietHours {
  /** IANA time zone; `null` is the team's, or UTC for a site without a team. */
  readonly zone: string | null;
  readonly windows: readonly QuietWindow[];
  /** Local time of the digest, outside the quiet hours on one day of the week at least. */
  readonly digestAt: string;
}

export interface QuietWindow {
  /** Days on which the window begins. */
  readonly days: readonly Weekday[];
  readonly from: string;
  /** On the next day when it is not later than `from`. */
  readonly to: string;
}

/** Common practice, no source. */
export const DEFAULT_QUIET_HOURS: QuietHours = {
  zone: null,
  windows: [{ days: WEEKDAYS, from: '20:00', to: '07:00' }],
  digestAt: '07:30',
};

/** Common practice, no source: what a rota without a policy asks for. */
export const DEFAULT_ACKNOWLEDGE_MINUTES: Readonly<Record<Priority, number>> = {
  emergency: 5,
  urgent: 15,
  routine: 240,
};
