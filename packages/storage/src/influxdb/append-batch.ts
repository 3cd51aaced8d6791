import { StoreError } from '../ports/store-error.ts';
import type { AppendReport } from '../ports/telemetry-store.ts';
import { channelsIn } from '../sqlite/telemetry/channel-mask.ts';
import { type PackedReadings, ROW_HEAD } from '../sqlite/telemetry/packed-readings.ts';
import { INFLUX_END_MS } from './influx-options.ts';
import type { LateDay } from './late-days.ts';
import { lineHead, readingLine } from './line-protocol.ts';
import { dayStart } from './span-parts.ts';

/** A unit of a batch. */
export interface UnitBatch {
  readonly site: string;
  readonly unit: string;
  readonly head: string;
  /** Oldest and newest event time in the batch. */
  oldestMs: number;
  newestMs: number;
  /** Channels by event time that have a value, stored or earlier in the batch. */
  readonly seen: Map<number, number>;
}

/** Readings on their way into lines. */
export class AppendBatch {
  readonly units: readonly UnitBatch[];
  /** Channels that occur in the batch. */
  readonly mask: number;
  readonly #packed: PackedReadings;

  /** @throws StoreError `STORE_BAD_INPUT` for a time that InfluxDB cannot keep. */
  constructor(packed: PackedReadings) {
    this.#packed = packed;
    const units = packed.units.map(({ site, unit }) => {
      const head = lineHead(site, unit);
      const seen = new Map<number, number>();
      return { site, unit, head, oldestMs: Infinity, newestMs: -1, seen };
    });
    let all = 0;
    let place = 0;
    this.#eachRow((owner, atMs, mask) => {
      if (atMs >= INFLUX_END_MS) throw tooLate(place, atMs);
      const unit = units[owner];
      if (unit !== undefined) {
        unit.oldestMs = Math.min(unit.oldestMs, atMs);
        unit.newestMs = Math.max(unit.newestMs, atMs);
      }
      all |= mask;
      place += 1;
    });
    this.units = units;
    this.mask = all;
  }

  /** Event times of each unit up to its mark, ascending: these may be stored already. */
  timesUpTo(markOf: (unit: UnitBatch) => number): ReadonlyMap<UnitBatch, readonly number[]> {
    const marks = this.units.map(markOf);
    const found = new Map<UnitBatch, number[]>();
    this.#eachRow((owner, atMs) => {
      const unit = this.units[owner];
      if (unit === undefined || atMs > (marks[owner] ?? -1)) return;
      const times = found.get(unit);
      if (times === undefined) found.set(unit, [atMs]);
      else times.push(atMs);
    });
    for (const times of found.values()) times.sort((a, b) => a - b);
    return found;
  }

  /** Days with readings before that time, whether they are stored already or not. */
  lateDays(beforeMs: number): readonly LateDay[] {
    const days = new Map<string, LateDay>();
    this.#eachRow((owner, atMs) => {
      const unit = this.units[owner];
      if (unit === undefined || atMs >= beforeMs) return;
      const dayMs = dayStart(atMs);
      const key = `${owner}/${dayMs}`;
      if (!days.has(key)) days.set(key, { unit, dayMs });
    });
    return [...days.values()];
  }

  /** Lines with what `seen` does not have yet, which is added to it, and how much that is. */
  lines(): { readonly lines: readonly string[]; readonly report: AppendReport } {
    const lines: string[] = [];
    let storedValues = 0;
    let values = 0;
    this.#eachRow((owner, atMs, mask, at) => {
      const unit = this.units[owner];
      if (unit === undefined) return;
      const seen = unit.seen.get(atMs) ?? 0;
      const fresh = mask & ~seen;
      values += channelsIn(mask).length;
      if (fresh === 0) return;
      storedValues += channelsIn(fresh).length;
      unit.seen.set(atMs, seen | fresh);
      lines.push(readingLine(unit.head, atMs, fresh, mask, this.#packed.rows, at));
    });
    return { lines, report: { storedValues, duplicateValues: values - storedValues } };
  }

  #eachRow(visit: (owner: number, atMs: number, mask: number, at: number) => void): void {
    const { rows, length } = this.#packed;
    let at = 0;
    while (at < length) {
      const mask = rows[at + 2] ?? 0;
      visit(rows[at] ?? -1, rows[at + 1] ?? 0, mask, at + ROW_HEAD);
      at += ROW_HEAD + channelsIn(mask).length;
    }
  }
}

function tooLate(place: number, atMs: number): StoreError {
  const message = `Reading ${place} of the batch: InfluxDB keeps no time after 2262, as ${atMs} is`;
  return new StoreError('STORE_BAD_INPUT', message);
}
