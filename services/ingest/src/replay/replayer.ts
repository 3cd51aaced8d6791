import type { Alarm } from '@lineside/alarms';
import type { FindingChange, WettingEpisode } from '@lineside/anomaly';
import type { JudgementState, ServiceEvent, SettingsHistory, Snapshot } from '@lineside/judging';
import type { UnitRef } from '@lineside/storage';

/** What is to be judged again, or for the first time, from stored readings. Plain data. */
export interface ReplayRequest {
  readonly ref: UnitRef;
  readonly settings: SettingsHistory;
  /** Where to start; null: from the first stored reading. */
  readonly base: Snapshot | null;
  /** The last event time that is judged, ms. */
  readonly throughMs: number;
  /** The unit's service records that `base` does not know, in any order, younger ones included. */
  readonly services: readonly ServiceEvent[];
}

/** What the stored data say, from the base on. Plain data. */
export interface ReplayResult {
  readonly state: JudgementState;
  /** In the order in which they happened. */
  readonly changes: readonly FindingChange[];
  /** Every alarm that stood at the base or came later, and those the base could have reopened. */
  readonly alarms: readonly Alarm[];
  /** Wettings that went on at the base or began later. */
  readonly episodes: readonly WettingEpisode[];
  /** Oldest first, no more than a store keeps. */
  readonly snapshots: readonly Snapshot[];
  readonly judgedReadings: number;
}

/** Judges stored readings of one unit in order of event time. */
export interface Replayer {
  /** Rejects with `StoreError` when readings cannot be read: try again later. */
  replay(request: ReplayRequest): Promise<ReplayResult>;
  close(): Promise<void>;
}
