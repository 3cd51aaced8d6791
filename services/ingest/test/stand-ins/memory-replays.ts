import type {
  DirtyMark,
  DirtyUnit,
  Judgement,
  SettingsVersion,
  UnitRef,
  WatchSnapshot,
} from '@lineside/storage';

/** What a record store keeps for judging units again, in memory. */
export class MemoryReplays {
  readonly marks = new Map<string, DirtyUnit>();
  readonly #generations = new Map<string, number>();
  snapshots: WatchSnapshot[] = [];
  versions: SettingsVersion[] = [];

  mark(marks: readonly DirtyMark[]): void {
    for (const { site, unit, fromMs } of marks) {
      const key = `${site}/${unit}`;
      const generation = (this.#generations.get(key) ?? 0) + 1;
      this.#generations.set(key, generation);
      const keptFromMs = this.marks.get(key)?.fromMs ?? fromMs;
      this.marks.set(key, { site, unit, fromMs: Math.min(fromMs, keptFromMs), generation });
    }
  }

  snapshotBefore({ site, unit }: UnitRef, beforeMs: number): WatchSnapshot | null {
    const older = this.snapshots
      .filter((one) => one.site === site && one.unit === unit && one.throughMs < beforeMs)
      .sort((one, other) => one.throughMs - other.throughMs);
    return older.at(-1) ?? null;
  }

  /** The part of a judgement that is about judging again; episodes go by their start. */
  commit(judgement: Judgement, episodes: Map<string, { episode: { startMs: number } }>): void {
    for (const { site, unit, sinceMs, generation } of judgement.rejudged ?? []) {
      const key = `${site}/${unit}`;
      this.snapshots = this.snapshots.filter(
        (one) => one.site !== site || one.unit !== unit || one.throughMs <= sinceMs,
      );
      for (const [place, { episode }] of [...episodes]) {
        if (place.startsWith(`${key}/`) && episode.startMs > sinceMs) episodes.delete(place);
      }
      if (this.marks.get(key)?.generation === generation) this.marks.delete(key);
    }
    for (const snapshot of judgement.snapshots ?? []) {
      const copy: WatchSnapshot = JSON.parse(JSON.stringify(snapshot));
      this.snapshots.push(copy);
    }
  }
}
