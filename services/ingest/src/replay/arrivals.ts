import { WEATHER_LEAD_MS } from '@lineside/anomaly';
import { type Reading, WEATHER_UNIT } from '@lineside/readings';
import type { UnitRef } from '@lineside/storage';
import { type FleetIndex, unitKey } from '../fleet-index.ts';
import type { WeatherTracks } from '../judging/weather-tracks.ts';
import { type LateMark, LateMarks } from './late-mark.ts';

/** What a batch of readings means for judging. */
export interface ArrivalOrder {
  /** Readings that the live watches must not see: a replay judges them. */
  readonly late: ReadonlySet<Reading>;
  /** Units that have to be judged again, those that late weather touches included. */
  readonly marks: readonly LateMark[];
}

const NOTHING_LATE: ArrivalOrder = { late: new Set(), marks: [] };

/** Knows how far each unit has come in event time, and so what comes too late. */
export class Arrivals {
  readonly #fleet: FleetIndex;
  readonly #tracks: WeatherTracks;
  /** Newest event time of each unit that was handed to its live watch, ms. */
  readonly #newestMs = new Map<string, number>();

  constructor(fleet: FleetIndex, tracks: WeatherTracks) {
    this.#fleet = fleet;
    this.#tracks = tracks;
  }

  /** The live watch has come to `atMs`, by a reading, a service record or a replay. */
  reached({ site, unit }: UnitRef, atMs: number): void {
    const key = unitKey(site, unit);
    if ((this.#newestMs.get(key) ?? -Infinity) < atMs) this.#newestMs.set(key, atMs);
  }

  /**
   * Sorts out what of a batch is late. To be asked before the batch is committed, once for each.
   * Within a batch order does not matter: the live watches get it sorted.
   */
  order(readings: readonly Reading[]): ArrivalOrder {
    const late = new Set<Reading>();
    const marks = new LateMarks();
    for (const reading of readings) {
      if (reading.unit === WEATHER_UNIT) this.#weather(reading, marks);
      else if (reading.atMs < this.#newestOf(reading)) {
        late.add(reading);
        marks.reading(reading, reading.atMs);
      }
    }
    for (const reading of readings) {
      const { site, unit, atMs } = reading;
      const isLive = unit !== WEATHER_UNIT && !late.has(reading);
      if (isLive && this.#fleet.watched(site, unit) !== null) this.reached(reading, atMs);
    }
    const { all } = marks;
    return all.length === 0 ? NOTHING_LATE : { late, marks: all };
  }

  /** A report counts for readings that are ten minutes younger: were there any? */
  #weather(report: Reading, marks: LateMarks): void {
    const countsFromMs = report.atMs + WEATHER_LEAD_MS;
    let isKnown: boolean | null = null;
    for (const { site, id } of this.#fleet.watchedOf(report.site)) {
      const ref = { site, unit: id };
      if (this.#newestOf(ref) < countsFromMs) continue;
      isKnown ??= this.#tracks.has(report);
      if (isKnown) return;
      marks.disturbed(ref, countsFromMs);
    }
  }

  #newestOf({ site, unit }: UnitRef): number {
    return this.#newestMs.get(unitKey(site, unit)) ?? -Infinity;
  }
}
