import type { Fleet } from '@lineside/fleet';
import { WEATHER_UNIT } from '@lineside/readings';

/** A unit or an outdoor station that lines may be about. */
export interface Place {
  readonly site: string;
  readonly unit: string;
  readonly isWeather: boolean;
}

/** Everything that the fleet knows, retired units and the outdoor station of each site included. */
export class KnownPlaces {
  readonly #sites: Map<string, Map<string, Place>> = new Map();

  constructor(fleet: Fleet) {
    for (const { id } of fleet.sites) this.#add(id, WEATHER_UNIT);
    for (const { site, id } of fleet.units) this.#add(site, id);
  }

  /** Null when the fleet knows no such unit or site. */
  find(site: string, unit: string): Place | null {
    return this.#sites.get(site)?.get(unit) ?? null;
  }

  hasSite(site: string): boolean {
    return this.#sites.has(site);
  }

  all(): readonly Place[] {
    return [...this.#sites.values()].flatMap((units) => [...units.values()]);
  }

  #add(site: string, unit: string): void {
    const units = this.#sites.get(site) ?? new Map<string, Place>();
    this.#sites.set(site, units.set(unit, { site, unit, isWeather: unit === WEATHER_UNIT }));
  }
}
