import type { Alarm } from '@lineside/alarms';
import {
  type FindingChange,
  type FindingKind,
  stepWatch,
  type WatchState,
  type WettingEpisode,
} from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import type { ChannelValues, Reading } from '@lineside/readings';
import type { JudgementState } from './judgement-state.ts';
import { enterFinding, type Ledger, mayChange } from './ledger.ts';
import type { ServiceEvent } from './service-event.ts';

/** What comes out while a unit is judged. */
export interface JudgementSink {
  /** An alarm that a later one of its kind took the place of: it changes no more. */
  readonly finished: (alarm: Alarm) => void;
  /** A wetting that opened, went on or ended; the last word on a start counts. */
  readonly episode: (episode: WettingEpisode) => void;
}

/**
 * Judges the events of one unit in order of event time: readings, one for each instant, and before
 * the reading of the same time the service records, in the order of `compareServices`. Live
 * judging, replay, back-test and what-if all go through here.
 */
export class UnitJudge {
  readonly #place: { readonly site: string; readonly unit: string };
  readonly #sink: JudgementSink;
  readonly #ledger: Map<FindingKind, Alarm>;
  #watch: WatchState;
  #episode: WettingEpisode | null;
  #servicedAtMs: number | null;

  constructor(
    place: { readonly site: string; readonly unit: string },
    start: JudgementState,
    sink: JudgementSink,
  ) {
    this.#place = place;
    this.#sink = sink;
    this.#watch = start.watch;
    this.#episode = start.episode;
    this.#servicedAtMs = start.servicedAtMs;
    this.#ledger = new Map(start.alarms.map((alarm) => [alarm.kind, alarm]));
  }

  /** @param weather the report that readings of this time are judged by, or null. */
  reading(
    unit: Unit,
    atMs: number,
    channels: ChannelValues,
    weather: Reading | null,
  ): readonly FindingChange[] {
    const step = stepWatch(this.#watch, { type: 'reading', atMs, channels, weather }, unit);
    return this.#take(step);
  }

  service(unit: Unit, event: ServiceEvent): readonly FindingChange[] {
    this.#servicedAtMs = Math.max(event.atMs, this.#servicedAtMs ?? event.atMs);
    return this.#take(stepWatch(this.#watch, { type: 'service', ...event }, unit));
  }

  /** Takes changes that come from elsewhere than the watch, such as silence. */
  enter(changes: readonly FindingChange[]): void {
    for (const change of changes) {
      enterFinding(this.#ledger, change, this.#place, this.#sink.finished);
    }
  }

  /**
   * Forgets the last instant, of which more came in, so that it can be judged as a whole.
   *
   * @param watch the watch before that instant; the instant must have changed nothing that was
   *   told: no finding and no wetting.
   */
  rewind(watch: WatchState): void {
    this.#watch = watch;
  }

  get watch(): WatchState {
    return this.#watch;
  }

  /** The newest alarm of each kind. */
  get ledger(): Ledger {
    return this.#ledger;
  }

  /** What a later judge needs to go on from here. */
  state(): JudgementState {
    const throughMs = this.#watch.instantMs ?? Number.NEGATIVE_INFINITY;
    const alarms = [...this.#ledger.values()].filter((alarm) => mayChange(alarm, throughMs));
    return {
      watch: this.#watch,
      alarms,
      episode: this.#episode,
      servicedAtMs: this.#servicedAtMs,
    };
  }

  #take(step: ReturnType<typeof stepWatch>): readonly FindingChange[] {
    this.#watch = step.state;
    if (step.changes.length > 0) this.enter(step.changes);
    for (const episode of step.episodes) {
      this.#episode = episode.endMs === null ? episode : null;
      this.#sink.episode(episode);
    }
    return step.changes;
  }
}
