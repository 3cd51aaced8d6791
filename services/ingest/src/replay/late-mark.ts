import type { UnitRef } from '@lineside/storage';
import { unitKey } from '../fleet-index.ts';

/** What came in too late for the live watch of one unit. */
export interface LateMark extends UnitRef {
  /** The earliest event time (ms) from which the unit has to be judged again. */
  readonly fromMs: number;
  /** The newest event time (ms) among the late readings; null when none of them was a reading. */
  readonly newestMs: number | null;
  readonly readings: number;
}

/** Gathers what came late in one batch, one mark a unit. */
export class LateMarks {
  readonly #marks = new Map<string, LateMark>();

  reading(ref: UnitRef, atMs: number): void {
    this.#add({ site: ref.site, unit: ref.unit, fromMs: atMs, newestMs: atMs, readings: 1 });
  }

  /** Something else than a reading of the unit changes how it is judged from then on. */
  disturbed(ref: UnitRef, fromMs: number): void {
    this.#add({ site: ref.site, unit: ref.unit, fromMs, newestMs: null, readings: 0 });
  }

  get all(): readonly LateMark[] {
    return [...this.#marks.values()];
  }

  #add(mark: LateMark): void {
    const key = unitKey(mark.site, mark.unit);
    const other = this.#marks.get(key);
    this.#marks.set(key, other === undefined ? mark : joined(other, mark));
  }
}

/** Both marks of one unit in one. */
export function joined(one: LateMark, other: LateMark): LateMark {
  const newest = Math.max(one.newestMs ?? -Infinity, other.newestMs ?? -Infinity);
  return {
    site: one.site,
    unit: one.unit,
    fromMs: Math.min(one.fromMs, other.fromMs),
    newestMs: newest === -Infinity ? null : newest,
    readings: one.readings + other.readings,
  };
}
