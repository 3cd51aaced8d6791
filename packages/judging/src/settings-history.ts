import type { Unit } from '@lineside/fleet';

/** A unit as it was set from an event time on. */
export interface UnitSettings {
  readonly fromMs: number;
  readonly unit: Unit;
}

/**
 * The settings of one unit over time, oldest first, never empty. A reading is judged by those in
 * force at its own time; what lies before the first is judged by the first.
 */
export type SettingsHistory = readonly [UnitSettings, ...UnitSettings[]];

/** The unit as it was set at `atMs`. */
export function unitAt(history: SettingsHistory, atMs: number): Unit {
  let { unit } = history[0];
  for (const settings of history) {
    if (settings.fromMs > atMs) break;
    unit = settings.unit;
  }
  return unit;
}

/** True when both are judged alike: names, places and the way to the unit do not count. */
export function sameSettings(one: Unit, other: Unit): boolean {
  return judgedPart(one) === judgedPart(other);
}

function judgedPart({ supply, fuses, contactors, drive, nodeSupply, limits }: Unit): string {
  return JSON.stringify(sorted({ supply, fuses, contactors, drive, nodeSupply, limits }));
}

function sorted(value: unknown): unknown {
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) return value.map(sorted);
  const names = Object.entries(value).toSorted(([one], [other]) => (one < other ? -1 : 1));
  return Object.fromEntries(names.map(([name, inner]) => [name, sorted(inner)]));
}
