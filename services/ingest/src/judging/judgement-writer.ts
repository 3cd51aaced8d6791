import { type Alarm, type AlarmJournalEntry, applyFinding } from '@lineside/alarms';
import type { FindingChange } from '@lineside/anomaly';
import {
  type AlarmChange,
  type RecordStore,
  type StoredEpisode,
  StoreError,
  type WatchCheckpoint,
} from '@lineside/storage';
import { growingPauseMs, type Pauses } from '../commit/pause.ts';
import type { StoreHealth } from '../commit/store-health.ts';
import { unitKey } from '../fleet-index.ts';

/** Conflicts that are tried again at once: people are slow, so more of them are a mistake. */
const CONFLICTS_AT_ONCE = 5;

/** What has to become durable together. */
export interface Finished {
  readonly checkpoints: readonly WatchCheckpoint[];
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
  readonly records: Pick<RecordStore, 'newestAlarms' | 'commitJudgement'>;
  readonly health: StoreHealth;
  readonly pauses: Pauses;
  readonly newId: () => string;
  /** Called after a commit that changed alarms. */
  readonly onAlarms: () => void;
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
  async write(finished: Finished): Promise<boolean> {
    const { checkpoints, episodes, findings } = finished;
    if (checkpoints.length + episodes.length + findings.length === 0) {
      return true;
    }
    for (let attempt = 1; ; attempt++) {
      try {
        const alarms = await this.#alarmChanges(findings);
        if (alarms.length + checkpoints.length + episodes.length > 0) {
          await this.#parts.records.commitJudgement({ checkpoints, episodes, alarms });
        }
        this.#parts.health.succeeded();
        if (alarms.length > 0) {
          this.#parts.onAlarms();
        }
        return true;
      } catch (error) {
        const isConflict = error instanceof StoreError && error.code === 'STORE_CONFLICT';
        if (isConflict && attempt <= CONFLICTS_AT_ONCE) {
          continue;
        }
        this.#parts.health.failed(error);
        if (this.#parts.pauses.ended) {
          return false;
        }
        await this.#parts.pauses.wait(growingPauseMs(attempt));
      }
    }
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
    return changes;
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
