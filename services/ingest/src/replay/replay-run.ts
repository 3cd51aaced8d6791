import type { Alarm } from '@lineside/alarms';
import {
  addWeather,
  type FindingChange,
  WeatherTrack,
  type WettingEpisode,
  weatherFor,
} from '@lineside/anomaly';
import {
  compareServices,
  isSnapshotDue,
  newJudgementState,
  type ServiceEvent,
  SNAPSHOTS_HANDED_OVER,
  type Snapshot,
  stateThroughMs,
  UnitJudge,
  unitAt,
} from '@lineside/judging';
import type { Reading } from '@lineside/readings';
import type { ReplayRequest, ReplayResult } from './replayer.ts';

/** One unit on its way through its history. Feed it reports before the readings they belong to. */
export class ReplayRun {
  readonly #request: ReplayRequest;
  readonly #judge: UnitJudge;
  readonly #track = new WeatherTrack();
  readonly #services: ServiceEvent[];
  readonly #changes: FindingChange[] = [];
  readonly #alarms: Alarm[] = [];
  readonly #episodes = new Map<number, WettingEpisode>();
  readonly #snapshots: Snapshot[] = [];
  #judgedReadings = 0;

  constructor(request: ReplayRequest) {
    const start = request.base?.state ?? newJudgementState();
    this.#request = request;
    this.#services = request.services.toSorted(compareServices);
    this.#judge = new UnitJudge(request.ref, start, {
      finished: (alarm) => this.#alarms.push(alarm),
      episode: (episode) => this.#episodes.set(episode.startMs, episode),
    });
    if (start.episode !== null) this.#episodes.set(start.episode.startMs, start.episode);
  }

  weather(report: Reading): void {
    addWeather(this.#track, report);
  }

  /** The next stored reading of the unit. */
  reading({ atMs, channels }: Reading): void {
    this.#servicesUntil(atMs);
    if (isSnapshotDue(this.#judge.watch.instantMs, atMs)) this.#takeSnapshot(atMs);
    const unit = unitAt(this.#request.settings, atMs);
    this.#take(this.#judge.reading(unit, atMs, channels, weatherFor(this.#track, atMs)));
    this.#judgedReadings += 1;
  }

  finish(): ReplayResult {
    this.#servicesUntil(Infinity);
    return {
      state: this.#judge.state(),
      changes: this.#changes,
      alarms: [...this.#alarms, ...this.#judge.ledger.values()],
      episodes: [...this.#episodes.values()],
      snapshots: this.#snapshots,
      judgedReadings: this.#judgedReadings,
    };
  }

  #servicesUntil(atMs: number): void {
    for (let next = this.#services[0]; next !== undefined; next = this.#services[0]) {
      if (next.atMs > atMs) return;
      this.#services.shift();
      this.#take(this.#judge.service(unitAt(this.#request.settings, next.atMs), next));
    }
  }

  #take(changes: readonly FindingChange[]): void {
    if (changes.length > 0) this.#changes.push(...changes);
  }

  /** Not beside a service record of the same time: the reading is no part of the state yet. */
  #takeSnapshot(beforeMs: number): void {
    const state = this.#judge.state();
    const throughMs = stateThroughMs(state);
    if (throughMs === null || throughMs >= beforeMs) return;
    this.#snapshots.push({ throughMs, state });
    if (this.#snapshots.length > SNAPSHOTS_HANDED_OVER) this.#snapshots.shift();
  }
}
