import type { Fleet, Site } from '@lineside/fleet';
import { CLIMATES } from './climate.ts';
import type { Scenario, UnitScript } from './scenario.ts';
import { withSiteEvents } from './site-events.ts';
import { SiteWeather } from './site-weather.ts';
import { Station } from './station.ts';
import { TransformerBus } from './transformer-bus.ts';
import { type UnitPlace, UnitWorld } from './unit-world.ts';
import { emptyWeather } from './weather.ts';

export interface WorldOptions {
  /** The same seed, fleet, scenario and start give the same world to the last bit. */
  readonly seed: number;
  readonly fleet: Fleet;
  readonly scenario: Scenario;
  /** Where the world begins, ms since 1970. */
  readonly startMs: number;
}

/**
 * A fleet with its weather. Units and stations step forward on their own, in any order among each
 * other: what one does changes nothing for another, but for units of one shared transformer.
 */
export interface World {
  readonly seed: number;
  readonly startMs: number;
  readonly scenario: Scenario;
  readonly sites: readonly SiteWeather[];
  readonly stations: readonly Station[];
  /** Without the retired ones, in the order of the fleet. */
  readonly units: readonly UnitWorld[];
  site(site: string): SiteWeather;
  unit(site: string, unit: string): UnitWorld;
}

/** A site without coordinates stands here. */
const DEFAULT_LATITUDE = 45;
const DEFAULT_LONGITUDE = 0;

/** Throws RangeError when the scenario names a unit that the fleet does not have. */
export function createWorld(options: WorldOptions): World {
  const { seed, fleet, scenario, startMs } = options;
  const sites = fleet.sites.map((site) => siteWeather(site, options));
  const bySite = new Map(sites.map((weather) => [weather.site, weather]));
  const findSite = (site: string): SiteWeather => found(bySite.get(site), `site ${site}`);
  const scripts = new Map(
    scenario.units.map((script) => [`${script.site}/${script.unit}`, script]),
  );
  const buses = transformerBuses(scenario);
  const { siteEvents = [] } = scenario;
  const units = fleet.units
    .filter((unit) => !unit.retired)
    .map((unit) => {
      const weather = findSite(unit.site);
      const key = `${unit.site}/${unit.id}`;
      const script = scripts.get(key) ?? healthyScript(unit.site, unit.id);
      scripts.delete(key);
      // Written anew for each step: a year of forty units asks twenty million times.
      const minute = emptyWeather();
      const place: UnitPlace = {
        weatherAt: (atMs) => {
          weather.fill(atMs, minute);
          return minute;
        },
        solarHourAt: (atMs) => weather.solarHourAt(atMs),
        transformer: buses.get(key) ?? null,
      };
      return new UnitWorld(unit, withSiteEvents(script, siteEvents), seed, startMs, place);
    });
  const [unknown] = scripts.keys();
  if (unknown !== undefined) {
    throw new RangeError(`the scenario names unit ${unknown}, which the fleet does not have`);
  }
  const byUnit = new Map(units.map((world) => [`${world.unit.site}/${world.unit.id}`, world]));
  return {
    seed,
    startMs,
    scenario,
    sites,
    stations: sites.map((weather) => new Station(weather, seed, startMs)),
    units,
    site: findSite,
    unit: (site, unit) => found(byUnit.get(`${site}/${unit}`), `unit ${site}/${unit}`),
  };
}

function transformerBuses(scenario: Scenario): Map<string, TransformerBus> {
  const buses = new Map<string, TransformerBus>();
  for (const transformer of scenario.transformers ?? []) {
    const bus = new TransformerBus(transformer);
    for (const unit of transformer.units) buses.set(`${transformer.site}/${unit}`, bus);
  }
  return buses;
}

/** A unit that nothing is wrong with. */
export function healthyScript(site: string, unit: string): UnitScript {
  return { site, unit, faults: [], visits: [], fusesSwappedAfterMs: null, past: [], node: {} };
}

function siteWeather(site: Site, { seed, scenario, startMs }: WorldOptions): SiteWeather {
  const place = {
    site: site.id,
    latitudeDegrees: site.latitudeDegrees ?? DEFAULT_LATITUDE,
    longitudeDegrees: site.longitudeDegrees ?? DEFAULT_LONGITUDE,
    climate: scenario.climates[site.id] ?? CLIMATES['rainy-valley'],
    storms: scenario.storms.filter((storm) => storm.site === site.id).flatMap((s) => s.stages),
    nowMs: scenario.nowMs,
    seasonDayAtNow: scenario.seasonDayAtNow,
    recorded: scenario.recordedWeather?.[site.id],
  };
  return new SiteWeather(seed, place, startMs);
}

function found<T>(value: T | undefined, what: string): T {
  if (value === undefined) throw new RangeError(`this world has no ${what}`);
  return value;
}
