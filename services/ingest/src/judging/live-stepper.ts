import {
  type FindingChange,
  type WatchState,
  type WettingEpisode,
  weatherFor,
} from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import {
  isSnapshotDue,
  type JudgementState,
  mergeChannels,
  type Snapshot,
  stateThroughMs,
  UnitJudge,
} from '@lineside/judging';
import type { Reading } from '@lineside/readings';
import type { ServiceRecord } from '@lineside/storage';
import { eventOf } from '../replay/prepare-replay.ts';
import type { UnitWatch } from './unit-watch.ts';
import type { WeatherTracks } from './weather-tracks.ts';

/** What a live watch made of the events of one round. */
export interface LiveStep {
  readonly state: JudgementState;
  readonly beforeInstant: WatchState | null;
  readonly changes: readonly FindingChange[];
  /** The last state of each wetting. */
  readonly episodes: readonly WettingEpisode[];
  readonly snapshots: readonly Snapshot[];
  readonly judgedReadings: number;
}

/**
 * Steps one unit's live watch through what came in order. What came too late for it is refused;
 * the caller has it judged by a replay.
 */
export class LiveStepper {
  readonly #unit: Unit;
  readonly #tracks: WeatherTracks;
  readonly #judge: UnitJudge;
  readonly #changes: FindingChange[] = [];
  readonly #episodes = new Map<number, WettingEpisode>();
  readonly #snapshots: Snapshot[] = [];
  #beforeInstant: WatchState | null;
  #servicedAtMs: number;
  #told = 0;
  #judgedReadings = 0;

  constructor(unit: Unit, watch: UnitWatch, tracks: WeatherTracks) {
    this.#unit = unit;
    this.#tracks = tracks;
    this.#beforeInstant = watch.beforeInstant;
    this.#servicedAtMs = watch.state.servicedAtMs ?? Number.NEGATIVE_INFINITY;
    this.#judge = new UnitJudge(watch.ref, watch.state, {
      finished: () => {},
      episode: (episode) => {
        this.#told += 1;
        this.#episodes.set(episode.startMs, episode);
      },
    });
  }

  /** False when it is too late for the live watch, or the weather of its time is not at hand. */
  reading(reading: Reading): boolean {
    const { atMs, channels } = reading;
    const { instantMs, instantChannels } = this.#judge.watch;
    if (atMs < (instantMs ?? atMs) || atMs < this.#servicedAtMs) return false;
    if (atMs === instantMs) return this.#sameInstant(reading, instantChannels);
    if (!this.#tracks.covers(this.#unit.site, atMs)) return false;
    if (isSnapshotDue(instantMs, atMs)) this.#takeSnapshot(atMs);
    this.#judged(atMs, channels);
    this.#judgedReadings += 1;
    return true;
  }

  /** False when it is about a time that was judged already. */
  service(record: ServiceRecord): boolean {
    const instantMs = this.#judge.watch.instantMs ?? Number.NEGATIVE_INFINITY;
    if (record.atMs <= instantMs || record.atMs <= this.#servicedAtMs) return false;
    this.#servicedAtMs = record.atMs;
    this.#beforeInstant = null;
    this.#changes.push(...this.#judge.service(this.#unit, eventOf(record)));
    return true;
  }

  result(): LiveStep {
    return {
      state: this.#judge.state(),
      beforeInstant: this.#beforeInstant,
      changes: this.#changes,
      episodes: [...this.#episodes.values()],
      snapshots: this.#snapshots,
      judgedReadings: this.#judgedReadings,
    };
  }

  /** More channels of the newest instant: it is judged anew, as one reading. */
  #sameInstant({ atMs, channels }: Reading, known: Reading['channels']): boolean {
    const all = mergeChannels(known, channels);
    if (all === known) return true;
    if (this.#beforeInstant === null) return false;
    this.#judge.rewind(this.#beforeInstant);
    this.#judged(atMs, all);
    return true;
  }

  #judged(atMs: number, channels: Reading['channels']): void {
    const before = this.#judge.watch;
    const toldBefore = this.#told;
    const weather = weatherFor(this.#tracks.of(this.#unit.site), atMs);
    const changes = this.#judge.reading(this.#unit, atMs, channels, weather);
    if (changes.length > 0) this.#changes.push(...changes);
    const isQuiet = changes.length === 0 && this.#told === toldBefore;
    this.#beforeInstant = isQuiet ? before : null;
  }

  /** Not beside a service record of the same time: the reading is no part of the state yet. */
  #takeSnapshot(beforeMs: number): void {
    const state = this.#judge.state();
    const throughMs = stateThroughMs(state);
    if (throughMs !== null && throughMs < beforeMs) this.#snapshots.push({ throughMs, state });
  }
}
