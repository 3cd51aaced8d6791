import type { UnitPlace } from './place.ts';
import type { StormWeather, WeatherSummary } from './weather.ts';

/** A storm as a list shows it. Times are epoch ms of event time. */
export interface Storm {
  /** See `storm-id.ts`. */
  readonly id: string;
  /** Id of the region; see `regionsOf`. */
  readonly region: string;
  /** What it was and where, a few words. */
  readonly name: string;
  readonly startMs: number;
  /** When the last compartment was dry; null while it goes on. */
  readonly endMs: number | null;
  /** When the last unit was touched. */
  readonly lastTouchMs: number;
  /** Until when alarms and repairs belong to it. */
  readonly closesMs: number;
  /** Sites with a unit that was touched, those with most units first. */
  readonly sites: readonly string[];
  /** Units that were touched, by site and unit. */
  readonly units: readonly UnitPlace[];
  /** Units of its region that are watched. */
  readonly watchedUnits: number;
  /** What makes it a storm and not damp weather, in words. */
  readonly because: readonly string[];
  readonly weather: WeatherSummary | null;
  readonly severe: readonly StormWeather[];
}
