import type { Alarm } from '@lineside/alarms';
import { type BagLine, bagFor } from './bag.ts';
import { fusesLost, fusesLostAtLeast } from './fuses-lost.ts';
import { compareHarm, highestPriority, worstSource } from './harm.ts';
import { episodesByUnit, isOfStorms, type UnitEpisode } from './marks.ts';
import { byPlace, placeKey, type UnitPlace } from './place.ts';
import { cautionsFor, headlineOf } from './review-words.ts';
import type { Storm } from './storm.ts';
import { type Timeline, timelineOf } from './timeline.ts';
import {
  alarmLine,
  type ReviewUnit,
  type ServiceLine,
  type UnitLeakage,
  type UnitReview,
  type WettingLine,
} from './unit-review.ts';
import { visitFor } from './visit.ts';
import { mostTelling, type SiteWeather, type WeatherHour, weatherHours } from './weather.ts';

const HOUR_MS = 3_600_000;

/** What a review is made of; more than the storm's own may be given. */
export interface ReviewInputs {
  readonly units: readonly ReviewUnit[];
  readonly episodes: readonly UnitEpisode[];
  readonly alarms: readonly Alarm[];
  readonly service: readonly ServiceLine[];
  readonly leakage: readonly UnitLeakage[];
  readonly weather: readonly SiteWeather[];
}

/** What a storm did and what to do now. */
export interface StormReview {
  readonly storm: Storm;
  /** The storm in one sentence. */
  readonly headline: string;
  /** In order of harm, the most harmed first. */
  readonly units: readonly UnitReview[];
  /** Units of the region that were only damp: no water got in and nothing was raised. */
  readonly dampUnits: number;
  readonly timeline: Timeline;
  /** Weather by the hour at the station that tells most. */
  readonly weatherHours: { readonly site: string; readonly hours: readonly WeatherHour[] } | null;
  /** What all visits together ask for. */
  readonly bag: readonly BagLine[];
  readonly cautions: readonly string[];
}

/** Reviews a storm. The order in which inputs come does not matter. */
export function stormReview(storm: Storm, inputs: ReviewInputs): StormReview {
  const gathered = gather(storm, inputs);
  const units = storm.units
    .flatMap((place) => {
      const unit = gathered.units.get(placeKey(place));
      return unit === undefined ? [] : [reviewOf(unit, gathered)];
    })
    .sort(compareHarm);
  const service = units.flatMap((unit) => gathered.service.get(placeKey(unit)) ?? []);
  return {
    storm,
    headline: headlineOf(storm, units),
    units,
    dampUnits: dampUnits(storm, gathered),
    timeline: timelineOf(units, service),
    weatherHours: weatherOf(storm, inputs.weather),
    bag: bagFor(units),
    cautions: cautionsFor(units),
  };
}

interface Gathered {
  readonly storm: Storm;
  readonly units: ReadonlyMap<string, ReviewUnit>;
  readonly episodes: ReadonlyMap<string, readonly UnitEpisode[]>;
  readonly alarms: ReadonlyMap<string, readonly Alarm[]>;
  readonly service: ReadonlyMap<string, readonly ServiceLine[]>;
  readonly leakage: ReadonlyMap<string, UnitLeakage>;
}

function gather(storm: Storm, inputs: ReviewInputs): Gathered {
  const { startMs, closesMs } = storm;
  const isWithin = (atMs: number): boolean => atMs >= startMs && atMs < closesMs;
  const episodes = inputs.episodes.filter(
    ({ episode }) =>
      episode.startMs < closesMs && (episode.endMs === null || episode.endMs > startMs),
  );
  const alarms = inputs.alarms
    .filter((alarm) => isOfStorms(alarm) && isWithin(alarm.raisedAtMs))
    .sort((one, other) => one.raisedAtMs - other.raisedAtMs || (one.id < other.id ? -1 : 1));
  const service = inputs.service
    .filter(({ atMs }) => isWithin(atMs))
    .sort((one, other) => one.atMs - other.atMs || (one.action < other.action ? -1 : 1));
  return {
    storm,
    units: new Map(inputs.units.map((unit) => [placeKey(unit), unit])),
    episodes: episodesByUnit(episodes),
    alarms: byPlace(alarms),
    service: byPlace(service),
    leakage: new Map(inputs.leakage.map((one) => [placeKey(one), one])),
  };
}

function reviewOf(unit: ReviewUnit, gathered: Gathered): UnitReview {
  const { site, unit: id, name, access } = unit;
  const key = placeKey(unit);
  const episodes = gathered.episodes.get(key) ?? [];
  const alarms = gathered.alarms.get(key) ?? [];
  const wettings = episodes.map(wettingLine);
  const source = worstSource(wettings.map((one) => one.source));
  const leakage = leakageOf(unit, gathered.leakage.get(key));
  const fuses = fusesLost(gathered.service.get(key) ?? [], alarms);
  const lines = alarms.map(alarmLine);
  const { excessMilliamps } = leakage;
  return {
    site,
    unit: id,
    name,
    access,
    wetHours: wettings.reduce((sum, { wetHours }) => sum + wetHours, 0),
    source,
    wettings,
    dryingHours: dryingHours(wettings),
    isWet: wettings.some(({ endMs }) => endMs === null),
    ...leakage,
    alarms: lines,
    highestPriority: highestPriority(lines.map(({ priority }) => priority)),
    minutesToAcknowledge: longest(lines.map((line) => line.minutesToAcknowledge)),
    unacknowledged: lines.filter(({ acknowledgedAtMs }) => acknowledgedAtMs === null).length,
    fuses,
    visit: visitFor({
      alarms,
      episodes,
      source,
      excessMilliamps,
      fusesLostAtLeast: fusesLostAtLeast(fuses),
      plate: unit.plate,
    }),
  };
}

function wettingLine({ episode }: UnitEpisode): WettingLine {
  const { startMs, peakMs, endMs, source, wetHours } = episode;
  return { startMs, peakMs, endMs, source, wetHours };
}

function dryingHours(wettings: readonly WettingLine[]): number | null {
  if (wettings.some(({ endMs }) => endMs === null)) return null;
  return longest(wettings.map(({ peakMs, endMs }) => ((endMs ?? peakMs) - peakMs) / HOUR_MS));
}

function longest(values: readonly (number | null)[]): number | null {
  const known = values.filter((value) => value !== null);
  return known.length === 0 ? null : Math.max(...known);
}

type LeakageFields = Pick<
  UnitReview,
  'peakMilliamps' | 'highestMomentMilliamps' | 'usualMilliamps' | 'usualBasis' | 'excessMilliamps'
>;

/** The learned leakage of a dry day is the better measure; what was lowest before stands in. */
function leakageOf(unit: ReviewUnit, leakage: UnitLeakage | undefined): LeakageFields {
  const peakMilliamps = leakage?.highestMilliamps ?? null;
  const lowest = leakage?.lowestBeforeMilliamps ?? null;
  const usualMilliamps = unit.learnedDryMilliamps ?? lowest;
  const basis =
    unit.learnedDryMilliamps === null ? 'lowest-of-three-days-before' : 'learned-dry-day';
  const isKnown = peakMilliamps !== null && usualMilliamps !== null;
  return {
    peakMilliamps,
    highestMomentMilliamps: leakage?.highestMomentMilliamps ?? null,
    usualMilliamps,
    usualBasis: usualMilliamps === null ? null : basis,
    excessMilliamps: isKnown ? Math.max(0, peakMilliamps - usualMilliamps) : null,
  };
}

function dampUnits(storm: Storm, { episodes, units }: Gathered): number {
  const touched = new Set(storm.units.map(placeKey));
  const sites = new Set(storm.sites);
  return [...episodes.entries()].filter(([key, [first]]) => {
    const place: UnitPlace | undefined = first;
    return place !== undefined && sites.has(place.site) && units.has(key) && !touched.has(key);
  }).length;
}

function weatherOf(storm: Storm, weather: readonly SiteWeather[]): StormReview['weatherHours'] {
  const fromMs = storm.startMs - 24 * HOUR_MS;
  const own = weather.filter(({ site }) => site === storm.weather?.site);
  const station = mostTelling(own, fromMs, storm.closesMs);
  if (station === null) return null;
  return { site: station.site, hours: weatherHours(station, fromMs, storm.closesMs) };
}
