import type { UnitCondition } from '@lineside/anomaly';
import { type Reading, WEATHER_UNIT } from '@lineside/readings';
import type { StoredEpisode, UnitRef, WatchCheckpoint } from '@lineside/storage';
import type { Logger } from 'pino';
import { type FleetIndex, unitKey } from '../fleet-index.ts';
import type { IngestMetrics } from '../metrics.ts';
import type { JudgementWriter, UnitFindings } from './judgement-writer.ts';
import type { NewService } from './service-inbox.ts';
import { UnitStepper } from './step-unit.ts';
import { checkpointOf } from './unit-watch.ts';
import type { Watches } from './watches.ts';
import type { WeatherTracks } from './weather-tracks.ts';

/** Steps after which the broker gets a turn: about 20 ms. */
const STEPS_PER_TURN = 2_000;

export interface RoundParts {
  readonly fleet: FleetIndex;
  readonly watches: Watches;
  readonly tracks: WeatherTracks;
  readonly writer: JudgementWriter;
  readonly metrics: IngestMetrics;
  readonly log: Logger;
  readonly onCondition: (site: string, unit: string, condition: UnitCondition) => void;
}

interface UnitWork {
  readonly ref: UnitRef;
  readonly readings: Reading[];
  service: NewService | null;
}

/** One round of judging: step the watches, commit what they found, then adopt their states. */
export class Round {
  readonly #parts: RoundParts;
  #stepsLeft = STEPS_PER_TURN;

  constructor(parts: RoundParts) {
    this.#parts = parts;
  }

  /**
   * Judges readings (in any order) and service records of watched units; `others` are findings
   * from elsewhere that are committed along. False only when the store refuses while closing;
   * the watches then stay where they were.
   */
  async judge(
    readings: readonly Reading[],
    services: readonly NewService[],
    others: readonly UnitFindings[],
  ): Promise<boolean> {
    const checkpoints: WatchCheckpoint[] = [];
    const episodes: StoredEpisode[] = [];
    const findings: UnitFindings[] = [...others];
    const adopt: (() => void)[] = [];
    for (const work of this.#workOf(readings, services).values()) {
      const stepper = await this.#step(work);
      if (stepper === null) {
        continue;
      }
      const { site, unit } = work.ref;
      const step = stepper.result();
      const watch = this.#parts.watches.of(site, unit);
      const serviceIds = work.service?.heardIds ?? watch.serviceIds;
      const found = step.changes.length + step.episodes.length > 0;
      const isSaved = found || (work.service?.records.length ?? 0) > 0;
      if (isSaved) {
        checkpoints.push(checkpointOf(site, unit, step.state, serviceIds));
        episodes.push(...step.episodes.map((episode) => ({ site, unit, episode })));
        findings.push({ site, unit, changes: step.changes });
      }
      adopt.push(() => {
        this.#parts.metrics.readingsJudged.inc(step.judgedReadings);
        this.#parts.metrics.lateReadings.inc(step.lateReadings);
        watch.dirty = !isSaved && (watch.dirty || watch.state !== step.state);
        watch.state = step.state;
        watch.serviceIds = serviceIds;
        const condition = watch.condition(step.unit);
        if (condition !== null && step.judgedReadings > 0) {
          this.#parts.onCondition(site, unit, condition);
        }
      });
    }
    if (!(await this.#parts.writer.write({ checkpoints, episodes, findings }))) {
      return false;
    }
    for (const change of adopt) {
      change();
    }
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
      if (reading.unit === WEATHER_UNIT) {
        this.#parts.tracks.add(reading);
      } else {
        workOf(reading).readings.push(reading);
      }
    }
    for (const service of services) {
      workOf(service.ref).service = service;
    }
    return works;
  }

  async #step(work: UnitWork): Promise<UnitStepper | null> {
    const { site, unit } = work.ref;
    const known = this.#parts.fleet.watched(site, unit);
    if (known === null) {
      return null;
    }
    const { state } = this.#parts.watches.of(site, unit);
    const stepper = new UnitStepper(known, state, this.#parts.tracks.of(site));
    const services = [...(work.service?.records ?? [])];
    work.readings.sort((a, b) => a.atMs - b.atMs);
    for (const reading of work.readings) {
      while ((services[0]?.atMs ?? Infinity) <= reading.atMs) {
        this.#guard(work.ref, services.shift(), (record) => stepper.service(record));
      }
      this.#guard(work.ref, reading, (one) => stepper.reading(one));
      this.#stepsLeft -= 1;
      if (this.#stepsLeft <= 0) {
        this.#stepsLeft = STEPS_PER_TURN;
        await new Promise(setImmediate);
      }
    }
    for (const record of services) {
      this.#guard(work.ref, record, (one) => stepper.service(one));
    }
    return stepper;
  }

  /** A mistake in a detector costs one event of one unit, not the judging of the whole fleet. */
  #guard<T>(ref: UnitRef, event: T | undefined, step: (event: T) => void): void {
    if (event === undefined) {
      return;
    }
    try {
      step(event);
    } catch (error) {
      this.#parts.metrics.judgeFailures.inc();
      this.#parts.log.error({ err: error, ...ref }, 'a watch failed on an event; it is skipped');
    }
  }
}
