import {
  type FindingChange,
  judgedThroughMs,
  stepWatch,
  type WatchEvent,
  type WatchState,
  type WeatherTrack,
  type WettingEpisode,
  weatherFor,
} from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import type { Reading } from '@lineside/readings';
import type { ServiceRecord } from '@lineside/storage';

/** What a watch made of the events of one round. */
export interface UnitStep {
  readonly unit: Unit;
  readonly state: WatchState;
  readonly changes: readonly FindingChange[];
  /** The last state of each wetting. */
  readonly episodes: readonly WettingEpisode[];
  readonly judgedReadings: number;
  readonly lateReadings: number;
}

/** Steps one unit's watch through readings and service records, in event time. */
export class UnitStepper {
  readonly #unit: Unit;
  readonly #track: WeatherTrack;
  readonly #changes: FindingChange[] = [];
  readonly #episodes = new Map<number, WettingEpisode>();
  #state: WatchState;
  #judgedReadings = 0;
  #lateReadings = 0;

  constructor(unit: Unit, state: WatchState, track: WeatherTrack) {
    this.#unit = unit;
    this.#state = state;
    this.#track = track;
  }

  /** Readings are to come in ascending event time. */
  reading(reading: Reading): void {
    const { atMs, channels } = reading;
    const throughMs = judgedThroughMs(this.#state);
    if (throughMs !== null && atMs < throughMs) {
      this.#lateReadings += 1;
      return;
    }
    this.#judgedReadings += 1;
    this.#step({ type: 'reading', atMs, channels, weather: weatherFor(this.#track, atMs) });
  }

  service(record: ServiceRecord): void {
    const { phases } = record.body;
    this.#step({
      type: 'service',
      atMs: record.atMs,
      action: record.action,
      phases: Array.isArray(phases) ? phases.filter(isPhase) : null,
    });
  }

  result(): UnitStep {
    return {
      unit: this.#unit,
      state: this.#state,
      changes: this.#changes,
      episodes: [...this.#episodes.values()],
      judgedReadings: this.#judgedReadings,
      lateReadings: this.#lateReadings,
    };
  }

  #step(event: WatchEvent): void {
    const step = stepWatch(this.#state, event, this.#unit);
    this.#state = step.state;
    this.#changes.push(...step.changes);
    for (const episode of step.episodes) {
      this.#episodes.set(episode.startMs, episode);
    }
  }
}

function isPhase(value: unknown): value is 'a' | 'b' | 'c' {
  return value === 'a' || value === 'b' || value === 'c';
}
