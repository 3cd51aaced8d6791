import { type Reading, WEATHER_UNIT } from '@lineside/readings';
import type { RecordStore, ServiceRecord, TelemetryStore } from '@lineside/storage';
import type { Logger } from 'pino';
import type { FleetIndex } from '../fleet-index.ts';
import { END_OF_TIMES_MS } from './all-times.ts';
import type { Round } from './round.ts';
import { type NewService, newService } from './service-inbox.ts';
import { StoredReadings } from './stored-readings.ts';
import { watchFromCheckpoint } from './unit-watch.ts';
import type { Watches } from './watches.ts';
import type { WeatherTracks } from './weather-tracks.ts';

const DAY_MS = 86_400_000;

/** Outdoor reports before the first unjudged reading: what a track of five-minute reports holds. */
const WEATHER_BEFORE_MS: number = 28 * DAY_MS;

/** Units of a site advance together in such steps, so that the bounded track covers all of them. */
const WINDOW_MS: number = DAY_MS;

export interface RestoreParts {
  readonly telemetry: Pick<TelemetryStore, 'readings'>;
  readonly records: Pick<RecordStore, 'checkpoints' | 'serviceBetween' | 'commitJudgement'>;
  readonly fleet: FleetIndex;
  readonly watches: Watches;
  readonly tracks: WeatherTracks;
  readonly round: Round;
  readonly log: Logger;
  readonly clock: () => number;
}

/**
 * Brings every watch to the end of what is stored: from its checkpoint, or from the first reading
 * when it has none. Afterwards the state is what an uninterrupted run would have, so an end of the
 * process at any moment changes no alarm.
 */
export async function restoreWatches(parts: RestoreParts): Promise<void> {
  const fromMs = new Map<string, number>();
  for (const checkpoint of await parts.records.checkpoints()) {
    const { watch, startOver } = watchFromCheckpoint(checkpoint);
    parts.watches.adopt(watch);
    // The last judged instant is read again: a channel of it may have come in later.
    fromMs.set(`${watch.site}/${watch.unit}`, checkpoint.judgedThroughMs);
    if (startOver) {
      const { site, unit } = watch;
      parts.log.warn(
        { site, unit },
        'saved watch is of another version; it starts anew from there',
      );
    }
  }
  const sites = new Map<string, StoredReadings[]>();
  for (const { site, id: unit } of parts.fleet.allWatched()) {
    const from = fromMs.get(`${site}/${unit}`) ?? 0;
    const stored = new StoredReadings(parts.telemetry, { site, unit }, from);
    sites.set(site, [...(sites.get(site) ?? []), stored]);
  }
  for (const [site, units] of sites) {
    await restoreSite(parts, site, units);
  }
  await parts.watches.saveCheckpoints(parts.records, parts.log);
}

async function restoreSite(
  parts: RestoreParts,
  site: string,
  units: readonly StoredReadings[],
): Promise<void> {
  const firstMs = (await earliest(units)) ?? parts.clock();
  const weather = new StoredReadings(
    parts.telemetry,
    { site, unit: WEATHER_UNIT },
    Math.max(0, firstMs - WEATHER_BEFORE_MS),
  );
  const services = await unheardServices(parts, units);
  let startMs: number | null = firstMs;
  while (startMs !== null) {
    const endMs: number = startMs + WINDOW_MS;
    await addWeatherBefore(parts, weather, endMs);
    for (const unit of units) {
      for (;;) {
        const readings = await unit.takeBefore(endMs);
        if (readings.length === 0) {
          break;
        }
        await judge(parts, readings, services.takeUntil(unit.ref.unit, lastAtMs(readings)));
      }
    }
    startMs = await earliest(units);
  }
  await addWeatherBefore(parts, weather, END_OF_TIMES_MS);
  for (const unit of units) {
    await judge(parts, [], services.takeUntil(unit.ref.unit, Infinity));
  }
}

async function judge(
  parts: RestoreParts,
  readings: readonly Reading[],
  services: readonly NewService[],
): Promise<void> {
  if (readings.length + services.length === 0) {
    return;
  }
  if (!(await parts.round.judge(readings, services, []))) {
    throw new Error('records cannot be written: readings of before the restart stay unjudged');
  }
}

async function addWeatherBefore(
  parts: RestoreParts,
  weather: StoredReadings,
  endMs: number,
): Promise<void> {
  for (;;) {
    const reports = await weather.takeBefore(endMs);
    if (reports.length === 0) {
      return;
    }
    for (const report of reports) {
      parts.tracks.add(report);
    }
  }
}

async function earliest(units: readonly StoredReadings[]): Promise<number | null> {
  let earliestMs: number | null = null;
  for (const unit of units) {
    const atMs = await unit.nextAtMs();
    if (atMs !== null && (earliestMs === null || atMs < earliestMs)) {
      earliestMs = atMs;
    }
  }
  return earliestMs;
}

function lastAtMs(readings: readonly Reading[]): number {
  return readings.at(-1)?.atMs ?? 0;
}

/** Service records that no watch has heard of, handed out as event time passes. */
class UnheardServices {
  readonly #left: Map<string, { readonly service: NewService; records: ServiceRecord[] }>;

  constructor(services: readonly NewService[]) {
    this.#left = new Map(
      services.map((service) => [service.ref.unit, { service, records: [...service.records] }]),
    );
  }

  takeUntil(unit: string, atMs: number): readonly NewService[] {
    const left = this.#left.get(unit);
    const records = left?.records.filter((record) => record.atMs <= atMs) ?? [];
    if (left === undefined || records.length === 0) {
      return [];
    }
    left.records = left.records.filter((record) => record.atMs > atMs);
    const later = new Set(left.records.map((record) => record.id));
    const heardIds = new Set([...left.service.heardIds].filter((id) => !later.has(id)));
    return [{ ref: left.service.ref, records, heardIds }];
  }
}

async function unheardServices(
  parts: RestoreParts,
  units: readonly StoredReadings[],
): Promise<UnheardServices> {
  const services: NewService[] = [];
  for (const { ref } of units) {
    const heard = parts.watches.of(ref.site, ref.unit).serviceIds;
    services.push(await newService(parts.records, ref, heard));
  }
  return new UnheardServices(services);
}
