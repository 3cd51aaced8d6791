import type { Alarm } from '@lineside/alarms';
import {
  type AlarmChange,
  type ApiToken,
  type DirtyMark,
  type DirtyUnit,
  type Judgement,
  type NodeCredential,
  type NodeRevocation,
  type Presence,
  type QuarantineEntry,
  type ServiceEntry,
  type ServiceRecord,
  type SettingsVersion,
  type StoredEpisode,
  type StoredJournalEntry,
  StoreError,
  type UnitHold,
  type UnitRef,
  type WatchCheckpoint,
  type WatchSnapshot,
} from '@lineside/storage';
import type { IngestRecords } from '../../src/ingest.ts';
import { MemoryReplays } from './memory-replays.ts';

/** Records in memory, as far as ingest uses them. */
export class MemoryRecords implements IngestRecords {
  readonly alarmsById = new Map<string, Alarm>();
  readonly journal: StoredJournalEntry[] = [];
  readonly checkpointsByUnit = new Map<string, WatchCheckpoint>();
  readonly episodes = new Map<string, StoredEpisode>();
  readonly services: ServiceRecord[] = [];
  readonly holds: UnitHold[] = [];
  readonly quarantinedEntries: QuarantineEntry[] = [];
  readonly presenceByUnit = new Map<string, Presence>();
  readonly credentials = new Map<string, NodeCredential>();
  readonly revocations: NodeRevocation[] = [];
  readonly tokens = new Map<string, ApiToken>();
  readonly replays = new MemoryReplays();
  /** Makes every write and read of records fail. */
  failure: Error | null = null;
  /** Called before each judgement is written: somebody else may write first. */
  beforeJudgement: (() => Promise<void>) | null = null;

  async nodeCredential(username: string): Promise<NodeCredential | null> {
    this.#check();
    return this.credentials.get(username) ?? null;
  }

  async revokeNode(ref: UnitRef, atMs: number): Promise<void> {
    this.credentials.delete(`${ref.site}/${ref.unit}`);
    this.revocations.push({ ...ref, sequence: this.revocations.length + 1, atMs });
  }

  async revokedNodes(): Promise<readonly UnitRef[]> {
    this.#check();
    return this.revocations.filter(({ site, unit }) => !this.credentials.has(`${site}/${unit}`));
  }

  async revocationsAfter(sequence: number): Promise<readonly NodeRevocation[]> {
    this.#check();
    return this.revocations.filter((one) => one.sequence > sequence);
  }

  async tokenByHash(hash: string): Promise<ApiToken | null> {
    this.#check();
    return this.tokens.get(hash) ?? null;
  }

  async quarantine(entries: readonly QuarantineEntry[]): Promise<void> {
    this.#check();
    this.quarantinedEntries.push(...entries);
  }

  async setPresence(presence: Presence): Promise<void> {
    this.#check();
    this.presenceByUnit.set(`${presence.site}/${presence.unit}`, presence);
  }

  async presences(): Promise<readonly Presence[]> {
    return [...this.presenceByUnit.values()];
  }

  async alarm(id: string): Promise<Alarm | null> {
    this.#check();
    return this.alarmsById.get(id) ?? null;
  }

  async newestAlarms(ref: UnitRef): Promise<readonly Alarm[]> {
    this.#check();
    return newestOfEachKind(
      [...this.alarmsById.values()].filter(
        (alarm) => alarm.site === ref.site && alarm.unit === ref.unit && !alarm.withdrawn,
      ),
    );
  }

  async alarmsSince({ site, unit }: UnitRef, sinceMs: number): Promise<readonly Alarm[]> {
    this.#check();
    return [...this.alarmsById.values()]
      .filter((alarm) => alarm.site === site && alarm.unit === unit && !alarm.withdrawn)
      .filter(({ clearedAtMs }) => clearedAtMs === null || clearedAtMs >= sinceMs)
      .sort((one, other) => one.raisedAtMs - other.raisedAtMs);
  }

  async markDirty(marks: readonly DirtyMark[]): Promise<void> {
    this.#check();
    this.replays.mark(marks);
  }

  async dirtyUnits(): Promise<readonly DirtyUnit[]> {
    this.#check();
    return [...this.replays.marks.values()];
  }

  async snapshotBefore(ref: UnitRef, beforeMs: number): Promise<WatchSnapshot | null> {
    this.#check();
    return this.replays.snapshotBefore(ref, beforeMs);
  }

  async settingsVersions(): Promise<readonly SettingsVersion[]> {
    return this.replays.versions;
  }

  async addSettingsVersions(versions: readonly SettingsVersion[]): Promise<void> {
    this.#check();
    this.replays.versions.push(...versions);
  }

  async openAlarms(): Promise<readonly Alarm[]> {
    const all = [...this.alarmsById.values()];
    const newest = new Set(newestOfEachKind(all.filter((alarm) => !alarm.withdrawn)));
    return all.filter((alarm) => alarm.state !== 'normal' || newest.has(alarm));
  }

  async changeAlarms(changes: readonly AlarmChange[]): Promise<void> {
    this.#check();
    const revisions = new Map<string, number>();
    for (const { entry } of changes) {
      const { id, revision } = entry.alarm;
      const stored = revisions.get(id) ?? this.alarmsById.get(id)?.revision ?? 0;
      if (stored !== revision - 1) {
        throw new StoreError('STORE_CONFLICT', `alarm ${id} has revision ${stored}`);
      }
      revisions.set(id, revision);
    }
    for (const { entry } of changes) {
      this.alarmsById.set(entry.alarm.id, entry.alarm);
      this.journal.push({ ...entry, sequence: this.journal.length + 1 });
    }
  }

  async commitJudgement(judgement: Judgement): Promise<void> {
    this.#check();
    await this.beforeJudgement?.();
    await this.changeAlarms(judgement.alarms);
    for (const checkpoint of judgement.checkpoints) {
      // As a real store does: what comes back is JSON.
      const saved: WatchCheckpoint = JSON.parse(JSON.stringify(checkpoint));
      this.checkpointsByUnit.set(`${checkpoint.site}/${checkpoint.unit}`, saved);
    }
    this.replays.commit(judgement, this.episodes);
    for (const stored of judgement.episodes) {
      const { site, unit, episode } = stored;
      this.episodes.set(`${site}/${unit}/${episode.startMs}`, stored);
    }
  }

  async unitHoldsAt(nowMs: number): Promise<readonly UnitHold[]> {
    this.#check();
    return this.holds.filter(({ untilMs, endedAtMs }) => (endedAtMs ?? untilMs) > nowMs);
  }

  async checkpoints(): Promise<readonly WatchCheckpoint[]> {
    return [...this.checkpointsByUnit.values()];
  }

  async journalAfter(sequence: number, limit: number): Promise<readonly StoredJournalEntry[]> {
    this.#check();
    return this.journal.slice(sequence, sequence + limit);
  }

  async journalEnd(): Promise<number> {
    return this.journal.length;
  }

  async serviceBetween(
    ref: UnitRef,
    fromMs: number,
    toMs: number,
  ): Promise<readonly ServiceRecord[]> {
    this.#check();
    return this.services
      .filter(({ site, unit }) => site === ref.site && unit === ref.unit)
      .filter(({ atMs }) => atMs >= fromMs && atMs < toMs)
      .sort((a, b) => a.atMs - b.atMs);
  }

  async servicesAfter(sequence: number, limit: number): Promise<readonly ServiceEntry[]> {
    this.#check();
    return this.services
      .map(({ site, unit }, index) => ({ sequence: index + 1, site, unit }))
      .slice(sequence, sequence + limit);
  }

  async serviceEnd(): Promise<number> {
    return this.services.length;
  }

  #check(): void {
    if (this.failure !== null) {
      throw this.failure;
    }
  }
}

function newestOfEachKind(alarms: readonly Alarm[]): Alarm[] {
  const newest = new Map<string, Alarm>();
  for (const alarm of alarms) {
    const key = `${alarm.site}/${alarm.unit}/${alarm.kind}`;
    if ((newest.get(key)?.raisedAtMs ?? -Infinity) <= alarm.raisedAtMs) {
      newest.set(key, alarm);
    }
  }
  return [...newest.values()];
}
