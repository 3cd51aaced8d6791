import type { Fleet, Unit } from '@lineside/fleet';
import { WEATHER_UNIT } from '@lineside/readings';
import { mayReadSite, type Principal } from '../auth/principal.ts';
import { notFound } from '../errors/api-error.ts';
import type { UnitParams } from '../schemas/ids.ts';

/** The unit, retired ones included. Throws 404 when there is none that the caller may see. */
export function findUnit(fleet: Fleet, principal: Principal, { site, unit }: UnitParams): Unit {
  const found = mayReadSite(principal, site)
    ? fleet.units.find((one) => one.site === site && one.id === unit)
    : undefined;
  if (found === undefined) throw notFound('This unit');
  return found;
}

/** Throws 404 unless it is a unit, or the outdoor station of a site, that the caller may see. */
export function findSender(fleet: Fleet, principal: Principal, params: UnitParams): void {
  if (params.unit !== WEATHER_UNIT) {
    findUnit(fleet, principal, params);
    return;
  }
  const known = fleet.sites.some((site) => site.id === params.site);
  if (!known || !mayReadSite(principal, params.site)) throw notFound('This outdoor station');
}
