import type { StatedContactor } from './fleet-document.ts';
import { limitsFor } from './limits.ts';
import type { StoredFleet, StoredSite, StoredUnit } from './stored-fleet.ts';
import type { Contactor, Fleet, Site, Unit } from './unit.ts';

const USUAL_TIMEZONE = 'UTC';
/** Mains frequency of North America, where 480 and 600 V rooftop units are common. */
const USUAL_HERTZ = 60;

/**
 * Fills in the defaults: names from ids, UTC, 60 Hz, a solidly grounded wye that is marked as
 * assumed, no drive, and the limits of `limits.ts`. Retired units are included, marked.
 */
export function toFleet(stored: StoredFleet): Fleet {
  return {
    sites: stored.sites.map(toSite),
    units: stored.sites.flatMap((site) => site.units.map((unit) => toUnit(site.id, unit))),
  };
}

function toSite(site: StoredSite): Site {
  return {
    id: site.id,
    name: site.name ?? site.id,
    timezone: site.timezone ?? USUAL_TIMEZONE,
    latitudeDegrees: site.latitude ?? null,
    longitudeDegrees: site.longitude ?? null,
  };
}

function toUnit(site: string, unit: StoredUnit): Unit {
  const drive = unit.drive ?? false;
  return {
    site,
    id: unit.id,
    name: unit.name ?? unit.id,
    supply: {
      volts: unit.supply.volts,
      hertz: unit.supply.hertz ?? USUAL_HERTZ,
      grounding: unit.supply.grounding ?? 'solid-wye',
      groundingAssumed: unit.supply.grounding === undefined,
      mcaAmps: unit.supply.mca ?? null,
      mopAmps: unit.supply.mop ?? null,
    },
    fuses: { class: unit.fuses?.class ?? null, amps: unit.fuses?.amps ?? null },
    contactors: (unit.contactors ?? []).map(toContactor),
    drive,
    access: unit.access ?? null,
    roof: unit.roof ?? null,
    nodeSupply: unit.node?.supply ?? null,
    limits: limitsFor(unit.limits ?? {}, drive),
    retired: unit.retired,
  };
}

function toContactor(contactor: StatedContactor): Contactor {
  return {
    name: contactor.name,
    load: contactor.load ?? null,
    poles: contactor.poles ?? null,
    flaAmps: contactor.fla ?? null,
  };
}
