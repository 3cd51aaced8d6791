import type { Unit } from '@lineside/fleet';
import { type SettingsHistory, sameSettings, type UnitSettings } from '@lineside/judging';
import type { RecordStore, SettingsVersion } from '@lineside/storage';
import { type FleetIndex, unitKey } from '../fleet-index.ts';

/**
 * How each unit was set over event time. New settings hold from the unit's first event that is not
 * judged yet, so that a change of limits rewrites no history.
 */
export class SettingsBook {
  readonly #fleet: FleetIndex;
  readonly #histories = new Map<string, SettingsHistory>();

  constructor(fleet: FleetIndex) {
    this.#fleet = fleet;
  }

  of(unit: Unit): SettingsHistory {
    return this.#histories.get(unitKey(unit.site, unit.id)) ?? [{ fromMs: 0, unit }];
  }

  /**
   * Reads what is kept, and adds the units whose settings differ from it.
   *
   * @param judgedThroughMs event time through which a unit is judged; null: not at all.
   */
  async restore(
    records: Pick<RecordStore, 'settingsVersions' | 'addSettingsVersions'>,
    judgedThroughMs: (unit: Unit) => number | null,
  ): Promise<void> {
    const kept = byUnit(await records.settingsVersions());
    const added: SettingsVersion[] = [];
    for (const unit of this.#fleet.allWatched()) {
      const key = unitKey(unit.site, unit.id);
      const earlier = (kept.get(key) ?? []).map((version) => settingsOf(version, unit));
      const newest = earlier.at(-1);
      if (newest === undefined || !sameSettings(newest.unit, unit)) {
        const throughMs = judgedThroughMs(unit);
        const fromMs = newest === undefined || throughMs === null ? 0 : throughMs + 1;
        added.push({ site: unit.site, unit: unit.id, fromMs, settings: unit });
        while ((earlier.at(-1)?.fromMs ?? -1) >= fromMs) earlier.pop();
        earlier.push({ fromMs, unit });
      }
      const [first, ...later] = earlier;
      if (first !== undefined) this.#histories.set(key, [first, ...later]);
    }
    if (added.length > 0) await records.addSettingsVersions(added);
  }
}

function byUnit(versions: readonly SettingsVersion[]): Map<string, SettingsVersion[]> {
  const units = new Map<string, SettingsVersion[]>();
  for (const version of versions) {
    const key = unitKey(version.site, version.unit);
    units.set(key, [...(units.get(key) ?? []), version]);
  }
  return units;
}

/** Kept settings; what an older program did not know yet is as it is now. */
function settingsOf({ fromMs, settings }: SettingsVersion, now: Unit): UnitSettings {
  if (typeof settings !== 'object' || settings === null) return { fromMs, unit: now };
  const limits: unknown = Reflect.get(settings, 'limits');
  const keptLimits = typeof limits === 'object' && limits !== null ? limits : {};
  return { fromMs, unit: { ...now, ...settings, limits: { ...now.limits, ...keptLimits } } };
}
