import type { RecordStore, UnitRef } from '@lineside/storage';
import { growingPauseMs, type Pauses } from '../commit/pause.ts';
import type { StoreHealth } from '../commit/store-health.ts';
import { type FleetIndex, unitKey } from '../fleet-index.ts';
import { joined, type LateMark } from './late-mark.ts';

/** A unit is judged again once nothing more came late for so long. */
export const QUIET_MS = 2_000;

/** It is judged again at least this often while late readings keep coming. */
const LONGEST_WAIT_MS = 30_000;

/** What came late since the unit's last replay began. */
interface Dirty {
  mark: LateMark;
  /** Earliest event time that the record store has the unit marked from. */
  keptFromMs: number;
  firstAtMs: number;
  lastAtMs: number;
  /** Batches that are marked and not committed yet: their readings cannot be read yet. */
  uncommitted: number;
}

export interface DirtyUnitsParts {
  readonly records: Pick<RecordStore, 'markDirty' | 'dirtyUnits'>;
  readonly fleet: FleetIndex;
  readonly health: StoreHealth;
  readonly pauses: Pauses;
  readonly clock: () => number;
}

/** Units that have to be judged again. The marks are durable before what they are about is. */
export class DirtyUnits {
  readonly #parts: DirtyUnitsParts;
  readonly #units = new Map<string, Dirty>();
  #onChange: () => void = () => {};

  constructor(parts: DirtyUnitsParts) {
    this.#parts = parts;
  }

  /** Called when there is something new to do. */
  onChange(listener: () => void): void {
    this.#onChange = listener;
  }

  /** Takes over marks of before a restart. What they are about was committed, or is sent again. */
  async restore(): Promise<void> {
    for (const { site, unit, fromMs } of await this.#parts.records.dirtyUnits()) {
      this.#enter({ site, unit, fromMs, newestMs: null, readings: 0 }, fromMs);
    }
  }

  /**
   * Marks units durably; to be called before what is late is committed. Tries until it is done;
   * false only when the store refuses while the process is closing.
   */
  async announce(marks: readonly LateMark[]): Promise<boolean> {
    for (const mark of marks) this.#enter(mark, Infinity).uncommitted += 1;
    const unkept = marks.filter((mark) => mark.fromMs < this.#of(mark).keptFromMs);
    if (unkept.length > 0 && !(await this.#keep(unkept))) return false;
    for (const mark of unkept) {
      const dirty = this.#of(mark);
      dirty.keptFromMs = Math.min(dirty.keptFromMs, mark.fromMs);
    }
    return true;
  }

  /** What was announced can be read now. */
  committed(marks: readonly LateMark[]): void {
    for (const mark of marks) {
      const dirty = this.#of(mark);
      dirty.uncommitted -= 1;
      dirty.lastAtMs = this.#parts.clock();
    }
    if (marks.length > 0) this.#onChange();
  }

  /** Units that wait for a replay. */
  get units(): number {
    let units = 0;
    for (const { mark } of this.#units.values()) if (this.#isWatched(mark)) units += 1;
    return units;
  }

  /** Readings and other causes that wait for a replay, each unit counting at least one. */
  get pending(): number {
    let pending = 0;
    for (const { mark } of this.#units.values()) {
      if (this.#isWatched(mark)) pending += Math.max(1, mark.readings);
    }
    return pending;
  }

  /** The unit that may be judged now and has waited longest; else how long until there is one. */
  next(): { readonly mark: LateMark } | { readonly inMs: number } {
    const nowMs = this.#parts.clock();
    let chosen: Dirty | null = null;
    let inMs = Infinity;
    for (const dirty of this.#units.values()) {
      if (dirty.uncommitted > 0 || !this.#isWatched(dirty.mark)) continue;
      const dueMs = Math.min(dirty.lastAtMs + QUIET_MS, dirty.firstAtMs + LONGEST_WAIT_MS);
      inMs = Math.min(inMs, dueMs - nowMs);
      const isLonger = chosen === null || dirty.firstAtMs < chosen.firstAtMs;
      if (dueMs <= nowMs && isLonger) chosen = dirty;
    }
    return chosen === null ? { inMs } : { mark: chosen.mark };
  }

  /** A replay begins: what comes from now on waits for the next one. */
  take(ref: UnitRef): LateMark | null {
    const key = unitKey(ref.site, ref.unit);
    const dirty = this.#units.get(key);
    if (dirty === undefined) return null;
    this.#units.delete(key);
    return dirty.mark;
  }

  /** A replay failed, or what it was about is not over: the unit waits again. */
  giveBack(mark: LateMark): void {
    const dirty = this.#enter(mark, mark.fromMs);
    dirty.keptFromMs = Math.min(dirty.keptFromMs, mark.fromMs);
  }

  /** True when nothing came late since the unit was taken. */
  isClean(ref: UnitRef): boolean {
    return !this.#units.has(unitKey(ref.site, ref.unit));
  }

  #isWatched({ site, unit }: UnitRef): boolean {
    return this.#parts.fleet.watched(site, unit) !== null;
  }

  #of(ref: UnitRef): Dirty {
    const dirty = this.#units.get(unitKey(ref.site, ref.unit));
    if (dirty === undefined) throw new Error(`${ref.site}/${ref.unit} was not announced`);
    return dirty;
  }

  #enter(mark: LateMark, keptFromMs: number): Dirty {
    const key = unitKey(mark.site, mark.unit);
    const nowMs = this.#parts.clock();
    const known = this.#units.get(key);
    if (known !== undefined) {
      known.mark = joined(known.mark, mark);
      known.lastAtMs = nowMs;
      return known;
    }
    const dirty: Dirty = {
      mark,
      keptFromMs,
      firstAtMs: nowMs,
      lastAtMs: nowMs,
      uncommitted: 0,
    };
    this.#units.set(key, dirty);
    return dirty;
  }

  async #keep(marks: readonly LateMark[]): Promise<boolean> {
    const { records, health, pauses } = this.#parts;
    for (let attempt = 1; ; attempt++) {
      try {
        await records.markDirty(marks.map(({ site, unit, fromMs }) => ({ site, unit, fromMs })));
        health.succeeded();
        return true;
      } catch (error) {
        health.failed(error);
        if (pauses.ended) return false;
        await pauses.wait(growingPauseMs(attempt));
      }
    }
  }
}
