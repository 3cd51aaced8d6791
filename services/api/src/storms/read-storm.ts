import type { Unit } from '@lineside/fleet';
import {
  parseStormId,
  type ReviewUnit,
  regionsOf,
  type ServiceLine,
  type Storm,
  type StormReview,
  stormOfAnchor,
  stormReview,
  type UnitLeakage,
} from '@lineside/review';
import type { ServiceRecord, UnitExtremes } from '@lineside/storage';
import type { Principal } from '../auth/principal.ts';
import type { ApiDependencies, LiveView } from '../dependencies.ts';
import { notFound } from '../errors/api-error.ts';
import { toStoreTime } from '../schemas/time-fields.ts';
import { readable, searchStorms } from './storm-search.ts';

const DAY_MS = 86_400_000;
/** The days before a storm whose lowest leakage stands in for a learned one. */
const BEFORE_MS: number = 3 * DAY_MS;
/** An alarm is raised some minutes after the leakage that raised it. */
const LEAD_MS = 3_600_000;

/** The review of the storm that an id leads to. Throws 404 when there is none. */
export async function readStorm(
  dependencies: ApiDependencies,
  principal: Principal,
  id: string,
): Promise<StormReview> {
  const anchor = parseStormId(id);
  const { sites, units } = readable(dependencies.fleet(), principal);
  const region = regionsOf(sites).find((one) => one.sites.some((site) => site.id === anchor?.site));
  if (anchor === null || region === undefined) throw notFound('This storm');
  const span = { fromMs: anchor.atMs - DAY_MS, toMs: anchor.atMs + 2 * DAY_MS };
  const { storms, search } = await searchStorms(dependencies, principal, span);
  const storm = stormOfAnchor(storms, region.id, anchor);
  if (storm === null) throw notFound('This storm');
  const [leakage, service] = await Promise.all([
    leakageOf(dependencies, storm),
    serviceOf(dependencies, storm),
  ]);
  return stormReview(storm, {
    units: units.map((unit) => reviewUnit(unit, dependencies.live)),
    episodes: search.episodes,
    alarms: search.alarms,
    service,
    leakage,
    weather: search.weather,
  });
}

function reviewUnit(unit: Unit, live: LiveView): ReviewUnit {
  const { site, id, name, access } = unit;
  const dryDay = live.condition(site, id)?.leakageOutlook?.dryDay ?? null;
  const learnedDryMilliamps = dryDay?.milliamps ?? null;
  return { site, unit: id, name, access, plate: unit, learnedDryMilliamps };
}

async function leakageOf(
  { telemetry, clock }: ApiDependencies,
  storm: Storm,
): Promise<readonly UnitLeakage[]> {
  const fromMs = toStoreTime(storm.startMs - LEAD_MS);
  const toMs = Math.max(fromMs, toStoreTime(Math.min(storm.closesMs, clock() + 1)));
  const [during, before] = await Promise.all([
    telemetry.extremes({ fromMs, toMs, channels: ['leak', 'leakmax'] }),
    telemetry.extremes({
      fromMs: toStoreTime(fromMs - BEFORE_MS),
      toMs: fromMs,
      channels: ['leak'],
    }),
  ]);
  const lowest = new Map(before.map((one) => [keyOf(one), one.channels.leak?.min]));
  return during.map((one) => ({
    site: one.site,
    unit: one.unit,
    highestMilliamps: milliamps(one.channels.leak?.max),
    highestMomentMilliamps: milliamps(one.channels.leakmax?.max),
    lowestBeforeMilliamps: milliamps(lowest.get(keyOf(one))),
  }));
}

function keyOf({ site, unit }: Pick<UnitExtremes, 'site' | 'unit'>): string {
  return `${site}/${unit}`;
}

function milliamps(amps: number | undefined): number | null {
  return amps === undefined ? null : amps * 1000;
}

async function serviceOf(
  { records }: ApiDependencies,
  { units, startMs, closesMs }: Storm,
): Promise<readonly ServiceLine[]> {
  const found = await Promise.all(
    units.map((unit) => records.serviceBetween(unit, toStoreTime(startMs), toStoreTime(closesMs))),
  );
  return found.flat().map(serviceLine);
}

function serviceLine({ site, unit, atMs, action, body }: ServiceRecord): ServiceLine {
  const phases = body['phases'];
  const isNamed = Array.isArray(phases) && phases.every((one) => typeof one === 'string');
  return { site, unit, atMs, action, phases: isNamed ? phases : null };
}
