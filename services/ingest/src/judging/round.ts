import { type Reading, WEATHER_UNIT } from '@lineside/readings';
import type {
  ServiceRecord,
  StoredEpisode,
  UnitRef,
  WatchCheckpoint,
  WatchSnapshot,
} from '@lineside/storage';
import type { Logger } from 'pino';
import { type FleetIndex, unitKey } from '../fleet-index.ts';
import type { IngestMetrics } from '../metrics.ts';
import type { Arrivals } from '../replay/arrivals.ts';
import type { DirtyUnits } from '../replay/dirty-units.ts';
import { type LateMark, LateMarks } from '../replay/late-mark.ts';
import type { JudgementWriter, UnitFindings } from './judgement-writer.ts';
import { LiveStepper } from './live-stepper.ts';
import type { NewService } from './service-inbox.ts';
import { type PowerMove, SitePower } from './site-power.ts';
import { checkpointOf, type UnitWatch } from './unit-watch.ts';
import type { Watches } from './watches.ts';
import type { WeatherTracks } from './weather-tracks.ts';

/** Steps after which the broker gets a turn: about 20 ms. */
const STEPS_PER_TURN = 2_000;

export interface RoundParts {
  readonly fleet: FleetIndex;
  readonly watches: Watches;
  readonly tracks: WeatherTracks;
  readonly dirty: DirtyUnits;
  readonly arrivals: Arrivals;
  readonly writer: JudgementWriter;
  readonly metrics: IngestMetrics;
  readonly log: Logger;
  /** A watch has judged something new. */
  readonly onJudged: (watch: UnitWatch) => void;
}

interface UnitWork {
  readonly ref: UnitRef;
  readonly readings: Reading[];
  service: NewService | null;
}

/** What a round leads to, before it is committed. */
interface Outcome {
  readonly checkpoints: WatchCheckpoint[];
  readonly snapshots: WatchSnapshot[];
  readonly episodes: StoredEpisode[];
  readonly findings: UnitFindings[];
  readonly moves: PowerMove[];
  readonly adopt: (() => void)[];
}

/** One round of live judging: step the watches, commit what they found, adopt their states. */
export class Round {
  readonly #parts: RoundParts;
  #stepsLeft = STEPS_PER_TURN;

  constructor(parts: RoundParts) {
    this.#parts = parts;
  }

  /**
   * Judges readings (in any order) and service records of watched units; `others` are findings
   * from elsewhere that are committed along. What comes too late is marked for a replay, before
   * anything of the round is committed. False only when the store refuses while closing; the
   * watches then stay where they were.
   */
  async judge(
    readings: readonly Reading[],
    services: readonly NewService[],
    others: readonly UnitFindings[],
  ): Promise<boolean> {
    const { dirty, writer, watches, metrics } = this.#parts;
    const late = new LateMarks();
    const outcome: Outcome = {
      checkpoints: [],
      snapshots: [],
      episodes: [],
      findings: others.map((findings) => withoutLosingSensor(findings, watches)),
      moves: [],
      adopt: [],
    };
    for (const work of this.#workOf(readings, services).values()) {
      await this.#judgeUnit(work, late, outcome);
    }
    const power = new SitePower(watches, outcome.moves);
    for (const { site, unit, fromMs } of power.disturbed()) late.disturbed({ site, unit }, fromMs);
    const findings = outcome.findings.map((each) => ({
      ...each,
      changes: power.changes(each, each.changes),
    }));
    const marks: readonly LateMark[] = late.all;
    if (marks.length > 0 && !(await dirty.announce(marks))) return false;
    if (!(await writer.write({ ...outcome, findings }))) return false;
    for (const change of outcome.adopt) change();
    for (const { readings: count } of marks) metrics.lateReadings.inc(count);
    dirty.committed(marks);
    return true;
  }

  /** Gives the weather to the tracks, and sorts the rest by unit. */
  #workOf(readings: readonly Reading[], services: readonly NewService[]): Map<string, UnitWork> {
    const works = new Map<string, UnitWork>();
    const workOf = ({ site, unit }: UnitRef): UnitWork => {
      const key = unitKey(site, unit);
      const work = works.get(key) ?? { ref: { site, unit }, readings: [], service: null };
      works.set(key, work);
      return work;
    };
    for (const reading of readings) {
      if (reading.unit === WEATHER_UNIT) this.#parts.tracks.add(reading);
      else workOf(reading).readings.push(reading);
    }
    for (const service of services) workOf(service.ref).service = service;
    return works;
  }

  async #judgeUnit(work: UnitWork, late: LateMarks, outcome: Outcome): Promise<void> {
    const { ref, service } = work;
    const unit = this.#parts.fleet.watched(ref.site, ref.unit);
    if (unit === null) return;
    const watch = this.#parts.watches.of(ref.site, ref.unit);
    const stepper = new LiveStepper(unit, watch, this.#parts.tracks);
    await this.#step(work, stepper, late);
    const step = stepper.result();
    const serviceIds = service?.heardIds ?? watch.serviceIds;
    const isSaved =
      step.changes.length + step.episodes.length + step.snapshots.length > 0 ||
      (service?.records.length ?? 0) > 0;
    if (isSaved) {
      outcome.checkpoints.push(checkpointOf(ref, step.state, serviceIds));
      outcome.snapshots.push(...step.snapshots.map((snapshot) => ({ ...ref, ...snapshot })));
      outcome.episodes.push(...step.episodes.map((episode) => ({ ...ref, episode })));
      outcome.findings.push({ ...ref, changes: step.changes });
    }
    outcome.moves.push({ ref, before: watch.state.watch.power, after: step.state.watch.power });
    const isMoved = step.state.watch !== watch.state.watch;
    outcome.adopt.push(() => {
      const unsaved = !isSaved && (watch.unsaved || isMoved);
      watch.adopt(step.state, serviceIds, step.beforeInstant);
      watch.unsaved = unsaved;
      this.#parts.arrivals.reached(ref, step.state.servicedAtMs ?? Number.NEGATIVE_INFINITY);
      this.#parts.metrics.readingsJudged.inc(step.judgedReadings);
      if (step.judgedReadings > 0) this.#parts.onJudged(watch);
    });
  }

  async #step(work: UnitWork, stepper: LiveStepper, late: LateMarks): Promise<void> {
    const { ref, readings } = work;
    const services = [...(work.service?.records ?? [])];
    const service = (record: ServiceRecord): void => {
      if (!stepper.service(record)) late.disturbed(ref, record.atMs);
    };
    readings.sort((one, other) => one.atMs - other.atMs);
    for (const reading of readings) {
      while ((services[0]?.atMs ?? Infinity) <= reading.atMs) {
        this.#guard(ref, services.shift(), service);
      }
      this.#guard(ref, reading, (one) => {
        if (!stepper.reading(one)) late.reading(ref, one.atMs);
      });
      this.#stepsLeft -= 1;
      if (this.#stepsLeft <= 0) {
        this.#stepsLeft = STEPS_PER_TURN;
        await new Promise(setImmediate);
      }
    }
    for (const record of services) this.#guard(ref, record, service);
  }

  /** A mistake in a detector costs one event of one unit, not the judging of the whole fleet. */
  #guard<T>(ref: UnitRef, event: T | undefined, step: (event: T) => void): void {
    if (event === undefined) return;
    try {
      step(event);
    } catch (error) {
      this.#parts.metrics.judgeFailures.inc();
      this.#parts.log.error({ err: error, ...ref }, 'a watch failed on an event; it is skipped');
    }
  }
}

/** A clock that is right again ends no finding that the readings make about the sensor. */
function withoutLosingSensor(findings: UnitFindings, watches: Watches): UnitFindings {
  const watch = watches.find(findings);
  const stands = watch?.state.alarms.some(({ kind, standing }) => kind === 'sensor' && standing);
  if (stands !== true) return findings;
  const changes = findings.changes.filter(
    ({ kind, change }) => kind !== 'sensor' || change !== 'closed',
  );
  return { ...findings, changes };
}
