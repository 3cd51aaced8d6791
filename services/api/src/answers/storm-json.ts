import { rfc3339 } from '@lineside/alarms';
import type { FindingKind, Priority, WettingSource } from '@lineside/anomaly';
import type { Site } from '@lineside/fleet';
import type {
  AlarmLine,
  BagLine,
  Storm,
  StormReview,
  TimelineLine,
  UnitReview,
  WeatherHour,
  WeatherSummary,
  WettingLine,
} from '@lineside/review';
import { rfc3339OrNull } from '../time/rfc3339.ts';

/** Sites by id. */
export type SitesById = ReadonlyMap<string, Site>;

export interface StormJson {
  readonly id: string;
  readonly name: string;
  readonly start: string;
  readonly end: string | null;
  readonly lastTouch: string;
  readonly sites: readonly {
    readonly site: string;
    readonly name: string;
    readonly timezone: string;
    readonly units: number;
  }[];
  readonly touchedUnits: number;
  readonly watchedUnits: number;
  readonly because: readonly string[];
  readonly weather: WeatherSummary | null;
}

interface WettingJson {
  readonly start: string;
  readonly peak: string;
  readonly end: string | null;
  readonly source: WettingSource;
  readonly wetHours: number;
}

interface StormAlarmJson {
  readonly id: string;
  readonly kind: FindingKind;
  readonly priority: Priority;
  readonly headline: string;
  readonly raised: string;
  readonly cleared: string | null;
  readonly acknowledged: string | null;
  readonly acknowledgedBy: string | null;
  readonly minutesToAcknowledge: number | null;
}

type UnitReviewJson = Omit<UnitReview, 'wettings' | 'alarms'> & {
  readonly siteName: string;
  readonly wettings: readonly WettingJson[];
  readonly alarms: readonly StormAlarmJson[];
};

type WeatherHourJson = Omit<WeatherHour, 'startMs'> & { readonly start: string };

type TimelineLineJson = Omit<TimelineLine, 'atMs'> & { readonly time: string };

export interface StormReviewJson extends StormJson {
  readonly headline: string;
  readonly units: readonly UnitReviewJson[];
  readonly dampUnits: number;
  readonly timeline: { readonly lines: readonly TimelineLineJson[]; readonly leftOut: number };
  readonly weatherHours: {
    readonly site: string;
    readonly hours: readonly WeatherHourJson[];
  } | null;
  readonly bag: readonly BagLine[];
  readonly cautions: readonly string[];
}

/** A storm as it is listed. */
export function stormJson(storm: Storm, sites: SitesById): StormJson {
  return {
    id: storm.id,
    name: storm.name,
    start: rfc3339(storm.startMs),
    end: rfc3339OrNull(storm.endMs),
    lastTouch: rfc3339(storm.lastTouchMs),
    sites: storm.sites.map((site) => ({
      site,
      name: sites.get(site)?.name ?? site,
      timezone: sites.get(site)?.timezone ?? 'UTC',
      units: storm.units.filter((unit) => unit.site === site).length,
    })),
    touchedUnits: storm.units.length,
    watchedUnits: storm.watchedUnits,
    because: storm.because,
    weather: storm.weather,
  };
}

/** A storm in full. */
export function stormReviewJson(review: StormReview, sites: SitesById): StormReviewJson {
  const { storm, headline, units, dampUnits, timeline, weatherHours, bag, cautions } = review;
  return {
    ...stormJson(storm, sites),
    headline,
    units: units.map((unit) => unitReviewJson(unit, sites)),
    dampUnits,
    timeline: { lines: timeline.lines.map(timelineJson), leftOut: timeline.leftOut },
    weatherHours:
      weatherHours === null
        ? null
        : { site: weatherHours.site, hours: weatherHours.hours.map(hourJson) },
    bag,
    cautions,
  };
}

function unitReviewJson(unit: UnitReview, sites: SitesById): UnitReviewJson {
  return {
    ...unit,
    siteName: sites.get(unit.site)?.name ?? unit.site,
    wettings: unit.wettings.map(wettingJson),
    alarms: unit.alarms.map(stormAlarmJson),
  };
}

function wettingJson({ startMs, peakMs, endMs, source, wetHours }: WettingLine): WettingJson {
  return {
    start: rfc3339(startMs),
    peak: rfc3339(peakMs),
    end: rfc3339OrNull(endMs),
    source,
    wetHours,
  };
}

function stormAlarmJson(alarm: AlarmLine): StormAlarmJson {
  const { raisedAtMs, clearedAtMs, acknowledgedAtMs, ...rest } = alarm;
  return {
    ...rest,
    raised: rfc3339(raisedAtMs),
    cleared: rfc3339OrNull(clearedAtMs),
    acknowledged: rfc3339OrNull(acknowledgedAtMs),
  };
}

function timelineJson({ atMs, ...rest }: TimelineLine): TimelineLineJson {
  return { ...rest, time: rfc3339(atMs) };
}

function hourJson({ startMs, ...rest }: WeatherHour): WeatherHourJson {
  return { ...rest, start: rfc3339(startMs) };
}
