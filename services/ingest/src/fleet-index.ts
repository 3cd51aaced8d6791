import type { Fleet, Unit } from '@lineside/fleet';
import { WEATHER_UNIT } from '@lineside/readings';

/** Finds units and sites of the fleet by id. */
export class FleetIndex {
  readonly #fleet: () => Fleet;
  #units = new Map<string, Unit>();
  #sites = new Set<string>();
  #watchedBySite = new Map<string, Unit[]>();

  constructor(fleet: () => Fleet) {
    this.#fleet = fleet;
    this.refresh();
  }

  /** To be called when the fleet changed. */
  refresh(): void {
    const { sites, units } = this.#fleet();
    this.#sites = new Set(sites.map((site) => site.id));
    this.#units = new Map(units.map((unit) => [unitKey(unit.site, unit.id), unit]));
    this.#watchedBySite = new Map();
    for (const unit of units) {
      if (unit.retired) continue;
      const ofSite = this.#watchedBySite.get(unit.site) ?? [];
      this.#watchedBySite.set(unit.site, ofSite);
      ofSite.push(unit);
    }
  }

  /** True for units, retired ones included, and for the outdoor station of a site. */
  knows(site: string, unit: string): boolean {
    return unit === WEATHER_UNIT ? this.#sites.has(site) : this.#units.has(unitKey(site, unit));
  }

  /** A unit that is watched; null when it is unknown or retired. */
  watched(site: string, unit: string): Unit | null {
    const found = this.#units.get(unitKey(site, unit));
    return found === undefined || found.retired ? null : found;
  }

  /** Units of one site that are watched. */
  watchedOf(site: string): readonly Unit[] {
    return this.#watchedBySite.get(site) ?? [];
  }

  /** All units that are watched. */
  allWatched(): readonly Unit[] {
    return [...this.#units.values()].filter((unit) => !unit.retired);
  }
}

/** Keys remembered, most; as many nodes may connect. */
const MOST_KEYS = 20_000;

/** By site, then by unit. */
const keys = new Map<string, Map<string, string>>();
let keyCount = 0;

/**
 * One string for site and unit, for maps. Always the same one: a string that was just put together
 * would be hashed and compared letter by letter at each look into a map, ten times a message.
 */
export function unitKey(site: string, unit: string): string {
  return keys.get(site)?.get(unit) ?? newKey(site, unit);
}

function newKey(site: string, unit: string): string {
  if (keyCount >= MOST_KEYS) {
    keys.clear();
    keyCount = 0;
  }
  const key = `${site}/${unit}`;
  const ofSite = keys.get(site) ?? new Map<string, string>();
  keys.set(site, ofSite.set(unit, key));
  keyCount += 1;
  return key;
}
