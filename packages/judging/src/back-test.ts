import type { Alarm } from '@lineside/alarms';
import {
  addWeather,
  conditionOf,
  newSilenceState,
  type PowerSlice,
  type PowerSpell,
  type SilenceState,
  stepSilence,
  type UnitCondition,
  WeatherTrack,
  type WettingEpisode,
  weatherFor,
} from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import type { ChannelValues, Reading } from '@lineside/readings';
import { newJudgementState } from './judgement-state.ts';
import { mergeChannels } from './merge-channels.ts';
import { compareServices, type ServiceEvent } from './service-event.ts';
import { alarmWithNeighbours } from './site-view.ts';
import { UnitJudge } from './unit-judge.ts';

/** Where the outcome goes as soon as it is final, in no particular order among units. */
export interface BackTestSink {
  readonly alarm: (unit: Unit, alarm: Alarm) => void;
  /** A wetting that has ended, or goes on at the end. */
  readonly episode: (unit: Unit, episode: WettingEpisode) => void;
  /** The unit's condition at a multiple of the interval. */
  readonly condition: (unit: Unit, atMs: number, condition: UnitCondition) => void;
}

export interface BackTestOptions {
  /** Retired units are not judged. */
  readonly units: readonly Unit[];
  readonly sink: BackTestSink;
  /** How often conditions are told, ms of event time; null: never. */
  readonly conditionEveryMs: number | null;
}

/**
 * Judges a fleet's events in order of event time, without a clock: `silent` comes from gaps. What
 * it holds does not grow with the number of events. Events of one unit, and reports of one site,
 * must come in ascending event time; of units among each other the order does not matter, except
 * that a report must come before readings that are ten minutes younger. Alarms that neighbours bear
 * on, of lost power and of silence, are told at the end.
 */
export class BackTest {
  readonly #units: Map<string, Map<string, UnitRun>> = new Map();
  readonly #tracks: Map<string, WeatherTrack> = new Map();
  #lastMs: number = Number.NEGATIVE_INFINITY;

  constructor(options: BackTestOptions) {
    for (const unit of options.units) {
      if (unit.retired) continue;
      const run = new UnitRun(unit, this.#trackOf(unit.site), options);
      const ofSite = this.#units.get(unit.site) ?? new Map<string, UnitRun>();
      this.#units.set(unit.site, ofSite.set(unit.id, run));
    }
  }

  /** @throws RangeError when it is older than the unit's last event. Unknown units are ignored. */
  reading(site: string, unit: string, atMs: number, channels: ChannelValues): void {
    if (atMs > this.#lastMs) this.#lastMs = atMs;
    this.#units.get(site)?.get(unit)?.reading(atMs, channels);
  }

  weather(report: Reading): void {
    if (report.atMs > this.#lastMs) this.#lastMs = report.atMs;
    addWeather(this.#trackOf(report.site), report);
  }

  /** @throws RangeError when it is older than the unit's last event. Unknown units are ignored. */
  service(site: string, unit: string, event: ServiceEvent): void {
    if (event.atMs > this.#lastMs) this.#lastMs = event.atMs;
    this.#units.get(site)?.get(unit)?.service(event);
  }

  /** Time has passed up to here, and nothing else is known of it. */
  passed(atMs: number): void {
    if (atMs > this.#lastMs) this.#lastMs = atMs;
  }

  /** No more events: tells what stands, up to the last time in any of them. */
  end(): void {
    for (const ofSite of this.#units.values()) {
      const runs = [...ofSite.values()];
      for (const run of runs) run.end(this.#lastMs);
      for (const run of runs) {
        run.tellAways(
          runs.filter((other) => other !== run),
          this.#lastMs,
        );
      }
    }
  }

  #trackOf(site: string): WeatherTrack {
    let track = this.#tracks.get(site);
    if (track === undefined) {
      track = new WeatherTrack();
      this.#tracks.set(site, track);
    }
    return track;
  }
}

/** One unit of a back-test. It holds the newest instant back until it is complete. */
class UnitRun {
  readonly #unit: Unit;
  readonly #track: WeatherTrack;
  readonly #sink: BackTestSink;
  readonly #everyMs: number | null;
  readonly #judge: UnitJudge;
  #silence: SilenceState = newSilenceState();
  #instantMs: number | null = null;
  #channels: ChannelValues = {};
  #services: ServiceEvent[] = [];
  #episode: WettingEpisode | null = null;
  #nextConditionMs: number = Number.NEGATIVE_INFINITY;
  /** What its neighbours bear on: told at the end, when all is known of them. */
  readonly #aways: Alarm[] = [];
  readonly #spells: PowerSpell[] = [];

  constructor(unit: Unit, track: WeatherTrack, { sink, conditionEveryMs }: BackTestOptions) {
    this.#unit = unit;
    this.#track = track;
    this.#sink = sink;
    this.#everyMs = conditionEveryMs;
    this.#judge = new UnitJudge({ site: unit.site, unit: unit.id }, newJudgementState(), {
      finished: (alarm) => this.#alarmFinal(alarm),
      episode: (episode) => this.#episodeTold(episode),
    });
  }

  reading(atMs: number, channels: ChannelValues): void {
    if (atMs === this.#instantMs) {
      this.#channels = mergeChannels(this.#channels, channels);
      return;
    }
    this.#advance(atMs);
    this.#instantMs = atMs;
    this.#channels = channels;
  }

  service(event: ServiceEvent): void {
    if (event.atMs !== this.#instantMs) this.#advance(event.atMs);
    this.#services.push(event);
  }

  end(lastMs: number): void {
    this.#flush();
    if (lastMs > Number.NEGATIVE_INFINITY) this.#hear('tick', lastMs);
    for (const alarm of this.#judge.ledger.values()) this.#alarmFinal(alarm);
    if (this.#episode !== null) this.#sink.episode(this.#unit, this.#episode);
  }

  /** Tells its alarms of lost power and of silence, as the neighbours make them. */
  tellAways(neighbours: readonly UnitRun[], lastMs: number): void {
    const others = neighbours.map((run) => run.#power());
    for (const alarm of this.#aways) {
      this.#sink.alarm(this.#unit, alarmWithNeighbours(alarm, this.#power(), others, lastMs));
    }
  }

  #alarmFinal(alarm: Alarm): void {
    const { kind } = alarm;
    if (kind === 'supply-loss' || kind === 'silent') this.#aways.push(alarm);
    else this.#sink.alarm(this.#unit, alarm);
  }

  /** All spells without power, of which a watch keeps the newest only. */
  #power(): PowerSlice {
    return { ...this.#judge.watch.power, spells: this.#spells };
  }

  /** Judges what was held back, now that something younger has come. */
  #advance(atMs: number): void {
    const heldMs = this.#instantMs ?? this.#services.at(-1)?.atMs ?? Number.NEGATIVE_INFINITY;
    if (atMs < heldMs) {
      const { site, id } = this.#unit;
      throw new RangeError(`${site}/${id}: an event of ${atMs} comes after one of ${heldMs}`);
    }
    if (this.#instantMs !== null || (this.#services[0]?.atMs ?? atMs) < atMs) this.#flush();
  }

  #flush(): void {
    const unit = this.#unit;
    const instantMs = this.#instantMs;
    if (this.#services.length > 0) {
      for (const event of this.#services.toSorted(compareServices)) {
        this.#judge.service(unit, event);
      }
      this.#services = [];
    }
    if (instantMs === null) return;
    this.#tellCondition(instantMs);
    this.#hear('receipt', instantMs);
    const before = this.#judge.watch.power.spells;
    this.#judge.reading(unit, instantMs, this.#channels, weatherFor(this.#track, instantMs));
    const { spells } = this.#judge.watch.power;
    if (spells !== before) this.#spells.push(...spells.filter((spell) => !before.includes(spell)));
    this.#instantMs = null;
  }

  #hear(type: 'receipt' | 'tick', atMs: number): void {
    const { limits, nodeSupply } = this.#unit;
    const step = stepSilence(this.#silence, { type, atMs }, limits, nodeSupply);
    this.#silence = step.state;
    if (step.changes.length > 0) this.#judge.enter(step.changes);
  }

  /** The condition as it was when a multiple of the interval passed, in a gap the last one. */
  #tellCondition(atMs: number): void {
    const everyMs = this.#everyMs;
    if (everyMs === null || atMs < this.#nextConditionMs) return;
    if (this.#nextConditionMs > Number.NEGATIVE_INFINITY) {
      const condition = conditionOf(this.#judge.watch, this.#unit);
      if (condition !== null) {
        this.#sink.condition(this.#unit, this.#nextConditionMs, condition);
      }
    }
    this.#nextConditionMs = (Math.floor(atMs / everyMs) + 1) * everyMs;
  }

  #episodeTold(episode: WettingEpisode): void {
    if (this.#episode !== null && this.#episode.startMs !== episode.startMs) {
      this.#sink.episode(this.#unit, this.#episode);
    }
    this.#episode = episode;
  }
}
