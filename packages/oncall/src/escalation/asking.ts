import type { AlarmState } from '@lineside/alarms';
import type { Priority } from '@lineside/anomaly';
import type { Level } from './policy.ts';

/**
 * What must be kept of an alarm so that a restart forgets nobody. Times are by the clock on the
 * wall: what late data brought asks from when it was found.
 */
export interface AskingAlarm {
  readonly site: string;
  readonly priority: Priority;
  readonly state: AlarmState;
  /**
   * When it was last raised, reopened or unshelved, or rose to its priority. A rise asks anew from
   * the first level, by the policy of the higher priority.
   */
  readonly askingSinceMs: number;
  /** End of the maintenance that holds its unit, else null. */
  readonly maintenanceUntilMs: number | null;
  /** When somebody who was asked handed it on to the next in line, last of all; else null. */
  readonly handedOnAtMs: number | null;
  /** All pages so far, oldest first; those before `askingSinceMs` may be dropped. */
  readonly paged: readonly PageRecord[];
}

/** A page that was handed over, to be kept in the same transaction as the page itself. */
export interface PageRecord {
  readonly atMs: number;
  readonly level: Level;
  readonly priority: Priority;
  /** Ids of the people; empty for the office. */
  readonly people: readonly string[];
}

/** Whether an alarm in a state asks for somebody, and if not, why. */
export type Asking = { readonly asks: true } | { readonly asks: false; readonly words: string };

function silent(words: string): Asking {
  return { asks: false, words };
}

/** By the states of ISA-18.2: only one that nobody has answered and that is still so asks. */
export const ASKING_BY_STATE: Readonly<Record<AlarmState, Asking>> = {
  normal: silent('it is over'),
  unacknowledged: { asks: true },
  acknowledged: silent('it is acknowledged'),
  'returned-unacknowledged': silent('its condition has cleared'),
  shelved: silent('it is shelved'),
  suppressed: silent('it is suppressed by design'),
  'out-of-service': silent('its unit is out of service'),
};
