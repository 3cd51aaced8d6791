import type { Page, PageRequest, UnitRef } from './record-store.ts';

/** What people say about units and alarms beside the alarms' journal. */
export interface AlarmLifeRecords {
  /** Rejects with `STORE_CONFLICT` when the id is there already. */
  addUnitHold(hold: UnitHold): Promise<void>;
  /** Ends it; one that has ended keeps its end. False when there is none with this id. */
  endUnitHold(id: string, endedAtMs: number, endedBy: string): Promise<boolean>;
  /** Holds that are not over at `nowMs`, begun or not, by site, unit and begin. */
  unitHoldsAt(nowMs: number): Promise<readonly UnitHold[]>;
  /** Newest `fromMs` first, ties by id, the greater first. */
  unitHolds(query: UnitRef & PageRequest): Promise<Page<UnitHold>>;

  /** Adds what somebody found; what they said of the alarm before is replaced. */
  setVerdict(verdict: AlarmVerdict): Promise<void>;
  /** Newest first. */
  verdictsOf(alarmId: string): Promise<readonly AlarmVerdict[]>;
  /** All, oldest `atMs` first, ties by alarm id and person; at most `limit` after `cursor`. */
  verdicts(query: PageRequest): Promise<Page<AlarmVerdict>>;
}

/**
 * A time in which a unit's alarms ask nobody. `maintenance`: alarms are journalled and shown, nobody
 * is paged. `out-of-service`: ISA-18.2; the alarms are set aside with the unit.
 */
export const HOLD_KINDS = ['maintenance', 'out-of-service'] as const;
export type HoldKind = (typeof HOLD_KINDS)[number];

export interface UnitHold extends UnitRef {
  readonly id: string;
  readonly kind: HoldKind;
  /** Who answers for it. */
  readonly owner: string;
  readonly reason: string;
  /** Wall-clock times. */
  readonly fromMs: number;
  readonly untilMs: number;
  /** When somebody ended it before `untilMs`, else null. */
  readonly endedAtMs: number | null;
  readonly endedBy: string | null;
}

export const VERDICTS = ['true', 'false', 'unclear'] as const;
export type VerdictWord = (typeof VERDICTS)[number];

export interface AlarmVerdict {
  readonly alarmId: string;
  readonly verdict: VerdictWord;
  /** What was found on site; may be empty. */
  readonly found: string;
  /** The cause as found, of the words that alarms use; null when it is not known. */
  readonly cause: string | null;
  readonly by: string;
  readonly atMs: number;
}
