import {
  type Alarm,
  type AlarmJournalEntry,
  applyFinding,
  settleSilencing,
} from '@lineside/alarms';
import type { FindingChange } from '@lineside/anomaly';
import type {
  AlarmChange,
  RecordStore,
  StoredEpisode,
  WatchCheckpoint,
  WatchSnapshot,
} from '@lineside/storage';
import { unitKey } from '../fleet-index.ts';
import type { UntilCommitted } from './until-committed.ts';

/** What has to become durable together. */
export interface Finished {
  readonly checkpoints: readonly WatchCheckpoint[];
  readonly snapshots: readonly WatchSnapshot[];
  readonly episodes: readonly StoredEpisode[];
  readonly findings: readonly UnitFindings[];
}

/** Changes of one unit's findings, in the order in which they happened. */
export interface UnitFindings {
  readonly site: string;
  readonly unit: string;
  readonly changes: readonly FindingChange[];
}

export interface JudgementWriterParts {
  readonly records: Pick<RecordStore, 'newestAlarms' | 'commitJudgement' | 'unitHoldsAt'>;
  readonly untilCommitted: UntilCommitted;
  readonly newId: () => string;
  readonly clock: () => number;
}

/** Turns findings into alarms and commits them with the watch states that know of them. */
export class JudgementWriter {
  readonly #parts: JudgementWriterParts;

  constructor(parts: JudgementWriterParts) {
    this.#parts = parts;
  }

  /**
   * Tries until it is committed; false only when the store refuses while the process is closing.
   * When a person changed an alarm in between, alarms are read again and the findings applied anew.
   */
  async write({ checkpoints, snapshots, episodes, findings }: Finished): Promise<boolean> {
    if (checkpoints.length + snapshots.length + episodes.length + findings.length === 0) {
      return true;
    }
    return this.#parts.untilCommitted(async () => {
      const alarms = await this.#alarmChanges(findings);
      if (alarms.length + checkpoints.length + snapshots.length + episodes.length > 0) {
        await this.#parts.records.commitJudgement({ checkpoints, snapshots, episodes, alarms });
      }
      return alarms.length > 0;
    });
  }

  async #alarmChanges(findings: readonly UnitFindings[]): Promise<readonly AlarmChange[]> {
    const changes: AlarmChange[] = [];
    // A unit may be in the list more than once: later findings meet the alarms of earlier ones.
    const newestByUnit = new Map<string, Map<string, Alarm>>();
    for (const { site, unit, changes: findingChanges } of findings) {
      if (findingChanges.length === 0) {
        continue;
      }
      const key = unitKey(site, unit);
      const newest = newestByUnit.get(key) ?? (await this.#newestByKind(site, unit));
      newestByUnit.set(key, newest);
      for (const change of findingChanges) {
        for (const entry of this.#apply(newest, change, site, unit)) {
          changes.push({ entry });
        }
      }
    }
    const setAside = changes.length === 0 ? [] : await this.#setAside(newestByUnit);
    return [...changes, ...setAside];
  }

  /** What its unit's hold or another alarm sets aside asks nobody, not even for a moment. */
  async #setAside(
    newestByUnit: ReadonlyMap<string, ReadonlyMap<string, Alarm>>,
  ): Promise<readonly AlarmChange[]> {
    const nowMs = this.#parts.clock();
    const holds = await this.#parts.records.unitHoldsAt(nowMs);
    return [...newestByUnit].flatMap(([key, newest]) => {
      const ofUnit = holds.filter(({ site, unit }) => unitKey(site, unit) === key);
      const entries = settleSilencing([...newest.values()], ofUnit, nowMs);
      return entries.map((entry) => ({ entry }));
    });
  }

  async #newestByKind(site: string, unit: string): Promise<Map<string, Alarm>> {
    const alarms = await this.#parts.records.newestAlarms({ site, unit });
    return new Map(alarms.map((alarm) => [alarm.kind, alarm]));
  }

  #apply(
    newest: Map<string, Alarm>,
    change: FindingChange,
    site: string,
    unit: string,
  ): readonly AlarmJournalEntry[] {
    const { newId } = this.#parts;
    const entries = applyFinding(newest.get(change.kind) ?? null, change, { site, unit, newId });
    const last = entries.at(-1);
    if (last !== undefined) {
      newest.set(change.kind, last.alarm);
    }
    return entries;
  }
}
