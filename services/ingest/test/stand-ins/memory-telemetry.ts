import type { Reading } from '@lineside/readings';
import type { AppendReport, ReadingsQuery } from '@lineside/storage';
import type { IngestTelemetry } from '../../src/ingest.ts';

/** Readings in memory, with commits that can be held back or made to fail. */
export class MemoryTelemetry implements IngestTelemetry {
  readonly stored = new Map<string, Reading>();
  /** Size of each commit, in readings. */
  readonly commits: number[] = [];
  failure: Error | null = null;
  refuses: ((readings: readonly Reading[]) => Error | null) | null = null;
  #held: (() => void)[] | null = null;

  hold(): void {
    this.#held = [];
  }

  get heldCommits(): number {
    return this.#held?.length ?? 0;
  }

  release(): void {
    const held = this.#held ?? [];
    this.#held = null;
    for (const go of held) {
      go();
    }
  }

  async append(readings: readonly Reading[]): Promise<AppendReport> {
    if (this.#held !== null) {
      await new Promise<void>((resolve) => this.#held?.push(resolve));
    }
    const failure = this.failure ?? this.refuses?.(readings) ?? null;
    if (failure !== null) {
      throw failure;
    }
    this.commits.push(readings.length);
    let storedValues = 0;
    let duplicateValues = 0;
    for (const reading of readings) {
      const key = `${reading.site}/${reading.unit}/${reading.atMs}`;
      const before = this.stored.get(key)?.channels ?? {};
      const channels = { ...reading.channels, ...before };
      const added = Object.keys(channels).length - Object.keys(before).length;
      storedValues += added;
      duplicateValues += Object.keys(reading.channels).length - added;
      this.stored.set(key, { ...reading, channels });
    }
    return { storedValues, duplicateValues };
  }

  async readings(query: ReadingsQuery): Promise<readonly Reading[]> {
    return [...this.stored.values()]
      .filter(({ site, unit }) => site === query.site && unit === query.unit)
      .filter(({ atMs }) => atMs >= query.fromMs && atMs < query.toMs)
      .sort((a, b) => a.atMs - b.atMs)
      .slice(0, query.limit);
  }

  async latest(): Promise<readonly Reading[]> {
    const latest = new Map<string, Reading>();
    for (const reading of this.stored.values()) {
      const key = `${reading.site}/${reading.unit}`;
      if ((latest.get(key)?.atMs ?? -Infinity) < reading.atMs) {
        latest.set(key, reading);
      }
    }
    return [...latest.values()];
  }
}
