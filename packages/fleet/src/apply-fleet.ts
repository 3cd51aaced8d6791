import { WrittenFileError } from '@lineside/written-file';
import type { FleetDocument, StatedSite, StatedUnit } from './fleet-document.ts';
import { crossedLimits } from './limits.ts';
import type { StoredFleet, StoredSite, StoredUnit } from './stored-fleet.ts';

/**
 * Applies a fleet file to what earlier files stated.
 *
 * - What the file states wins, field by field, also within `supply`, `fuses`, `node` and `limits`.
 *   What it omits keeps its value.
 * - A list of contactors and a place on the roof are replaced as a whole: a contactor that the new
 *   list does not name is gone.
 * - A unit that the file does not name is retired, never deleted; named again it is back, with
 *   what was known of it. The units of a site that the file does not name are all retired.
 *
 * Applying the same file again changes nothing.
 *
 * @param previous `null` at the first start.
 * @throws WrittenFileError when limits of one unit, old and new together, are in the wrong order.
 */
export function applyFleet(previous: StoredFleet | null, stated: FleetDocument): StoredFleet {
  const known = new Map(previous?.sites.map((site) => [site.id, site]));
  const sites = stated.sites.map((site) => applySite(known.get(site.id), site));
  for (const site of sites) checkLimits(site, stated.fileName);
  const named = new Set(stated.sites.map((site) => site.id));
  const unnamed = (previous?.sites ?? []).filter((site) => !named.has(site.id));
  return { version: 1, sites: [...sites, ...unnamed.map(retireAll)] };
}

function applySite(previous: StoredSite | undefined, stated: StatedSite): StoredSite {
  const known = new Map(previous?.units.map((unit) => [unit.id, unit]));
  const units = stated.units.map((unit) => applyUnit(known.get(unit.id), unit));
  const named = new Set(stated.units.map((unit) => unit.id));
  const unnamed = (previous?.units ?? []).filter((unit) => !named.has(unit.id));
  return { ...previous, ...stated, units: [...units, ...unnamed.map(retire)] };
}

function applyUnit(previous: StoredUnit | undefined, stated: StatedUnit): StoredUnit {
  if (previous === undefined) return { ...stated, retired: false };
  return {
    ...previous,
    ...stated,
    supply: { ...previous.supply, ...stated.supply },
    ...merged('fuses', previous.fuses, stated.fuses),
    ...merged('node', previous.node, stated.node),
    ...merged('limits', previous.limits, stated.limits),
    retired: false,
  };
}

/** A section merged field by field; nothing at all where neither side has it. */
function merged<Key extends string, Section extends object>(
  key: Key,
  previous: Section | undefined,
  stated: Section | undefined,
): { [key in Key]?: Section } {
  if (previous === undefined || stated === undefined) return {};
  return { [key]: { ...previous, ...stated } } as { [key in Key]?: Section };
}

function retire(unit: StoredUnit): StoredUnit {
  return { ...unit, retired: true };
}

function retireAll(site: StoredSite): StoredSite {
  return { ...site, units: site.units.map(retire) };
}

function checkLimits(site: StoredSite, fileName: string): void {
  for (const unit of site.units) {
    const limits = unit.limits ?? {};
    const crossed = unit.retired ? null : crossedLimits(limits);
    if (crossed === null) continue;
    const [lower, higher] = crossed;
    const words =
      `expected ${lower} no higher than ${higher}, found ${limits[lower]} and ` +
      `${limits[higher]} (what earlier files stated still counts)`;
    throw new WrittenFileError(fileName, `site ${site.id}, unit ${unit.id}, limits`, words);
  }
}
