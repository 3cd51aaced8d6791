import type { Fleet, Site, Unit } from '@lineside/fleet';
import type { AlarmFacts, KeptAsk, PagedAlarm } from '@lineside/paging';
import { type Reading, WEATHER_UNIT } from '@lineside/readings';
import { roofDangerOf } from './roof-danger.ts';

export interface FactSources {
  readonly fleet: Fleet;
  /** The newest reading of a unit or outdoor station. */
  readonly latest: (site: string, unit: string) => Reading | null;
  /** The asks of the pages' alarms. */
  readonly asks: ReadonlyMap<string, KeptAsk>;
  readonly nowMs: number;
}

/** What the words of pages need to know of alarms, from fleet, weather and newest causes. */
export function factsFrom(sources: FactSources): (alarm: PagedAlarm) => AlarmFacts {
  const { sites, units } = indexOf(sources.fleet);
  const dangers = new Map<string, AlarmFacts['roofDanger']>();
  const dangerAt = (site: string): AlarmFacts['roofDanger'] => {
    const known = dangers.get(site);
    if (known !== undefined) return known;
    const danger = roofDangerOf(sources.latest(site, WEATHER_UNIT), sources.nowMs);
    dangers.set(site, danger);
    return danger;
  };
  // In a storm each of a dozen people is told of the same alarms.
  const factsOf = new Map<string, AlarmFacts>();
  return ({ id, site, unit }) => {
    const known = factsOf.get(id);
    if (known !== undefined) return known;
    const facts: AlarmFacts = {
      unitName: units.get(`${site}/${unit}`)?.name ?? unit,
      siteName: sites.get(site)?.name ?? site,
      zone: sites.get(site)?.timezone ?? 'UTC',
      cause: sources.asks.get(id)?.cause ?? null,
      roofDanger: dangerAt(site),
    };
    factsOf.set(id, facts);
    return facts;
  };
}

interface FleetIndex {
  readonly sites: ReadonlyMap<string, Site>;
  readonly units: ReadonlyMap<string, Unit>;
}

/** A fleet never changes, it is replaced. */
const INDICES = new WeakMap<Fleet, FleetIndex>();

function indexOf(fleet: Fleet): FleetIndex {
  const known = INDICES.get(fleet) ?? {
    sites: new Map(fleet.sites.map((site) => [site.id, site])),
    units: new Map(fleet.units.map((unit) => [`${unit.site}/${unit.id}`, unit])),
  };
  INDICES.set(fleet, known);
  return known;
}
