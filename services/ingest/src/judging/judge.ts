import { type Reading, WEATHER_UNIT } from '@lineside/readings';
import type { RecordStore, UnitRef } from '@lineside/storage';
import type { Logger } from 'pino';
import type { FleetIndex } from '../fleet-index.ts';
import type { IngestMetrics } from '../metrics.ts';
import type { FinishedReplay } from '../replay/prepare-replay.ts';
import { Turns } from '../turns.ts';
import type { Round } from './round.ts';
import type { ServiceInbox } from './service-inbox.ts';
import type { SilenceWatch } from './silence-watch.ts';
import type { Watches } from './watches.ts';

/** Readings of one round: their changes wait for one commit, so rounds are short. */
const MOST_READINGS_PER_ROUND = 20_000;

/** Committed readings that wait for judging, about 40 MB; above it no more messages are taken. */
const MOST_UNJUDGED_READINGS = 100_000;

export interface JudgeParts {
  readonly fleet: FleetIndex;
  readonly watches: Watches;
  readonly round: Round;
  readonly services: ServiceInbox;
  readonly silence: SilenceWatch;
  readonly metrics: IngestMetrics;
  readonly log: Logger;
  readonly records: Pick<RecordStore, 'commitJudgement'>;
  /** Makes a replay the judgement of its unit; false when the store refuses while closing. */
  readonly adopt: (finished: FinishedReplay) => Promise<boolean>;
  /** Called after each round: there may be room for more readings. */
  readonly onRound: () => void;
}

interface WaitingReplay {
  readonly finished: FinishedReplay;
  readonly answer: (isAdopted: boolean) => void;
}

/** The serial loop that shows committed readings to the watches. */
export class Judge {
  readonly #parts: JudgeParts;
  readonly #turns = new Turns();
  #queue: Reading[] = [];
  #pendingReadings = 0;
  #running: Promise<void> | null = null;
  #stopped = false;
  #saveWanted = false;
  #replayed: WaitingReplay | null = null;

  constructor(parts: JudgeParts) {
    this.#parts = parts;
  }

  /** Committed readings, and units with new service records, that wait for the live watches. */
  get pending(): number {
    return this.#pendingReadings + this.#parts.services.waiting;
  }

  get hasRoom(): boolean {
    return this.#queue.length < MOST_UNJUDGED_READINGS;
  }

  /**
   * How long ago a round was last begun or committed, milliseconds; 0 while there is nothing to
   * judge. It grows, too, when judging has stopped for good and readings wait.
   */
  get turnAgeMs(): number {
    return this.#turns.ageMs(this.#running !== null || this.#hasWork());
  }

  /** Takes readings that are durable. Those of retired units stay unjudged. */
  committed(readings: readonly Reading[]): void {
    // In order, so that a cut between two rounds makes nothing late.
    const sorted = readings.toSorted((one, other) => one.atMs - other.atMs);
    for (const reading of sorted) {
      const { site, unit } = reading;
      if (unit === WEATHER_UNIT || this.#parts.fleet.watched(site, unit) !== null) {
        this.#queue.push(reading);
        this.#pendingReadings += 1;
      }
    }
    this.kick();
  }

  /** Adopts a replay between two rounds; one at a time. False when the process is closing. */
  adopt(finished: FinishedReplay): Promise<boolean> {
    if (this.#stopped) return Promise.resolve(false);
    const adopted = new Promise<boolean>((answer) => {
      this.#replayed = { finished, answer };
    });
    this.kick();
    return adopted;
  }

  serviceRecorded(ref: UnitRef): void {
    if (this.#parts.fleet.watched(ref.site, ref.unit) !== null) {
      this.#parts.services.announce(ref);
      this.kick();
    }
  }

  /**
   * Saves watch states between two rounds. Never beside one: a state from before a round must not
   * be written over the state that was committed with the round's alarms.
   */
  saveCheckpoints(): void {
    this.#saveWanted = true;
    this.kick();
  }

  /** Goes on if there is something to do. */
  kick(): void {
    if (this.#running !== null || this.#stopped || !this.#hasWork()) {
      return;
    }
    this.#turns.turned();
    this.#running = this.#run()
      .catch((error: unknown) => {
        this.#stopped = true;
        this.#parts.log.fatal({ err: error }, 'judging stopped; restart to go on');
      })
      .finally(() => {
        this.#running = null;
        this.kick();
      });
  }

  /** Resolves when nothing is left to judge, or after `stop`. */
  async drain(): Promise<void> {
    while (this.#running !== null) {
      await this.#running;
    }
  }

  /** No further round begins. */
  stop(): void {
    this.#stopped = true;
    this.#replayed?.answer(false);
    this.#replayed = null;
  }

  async #adoptReplay(): Promise<void> {
    const waiting = this.#replayed;
    if (waiting === null) return;
    this.#replayed = null;
    try {
      waiting.answer(await this.#parts.adopt(waiting.finished));
    } catch (error) {
      this.#parts.log.error({ err: error, ...waiting.finished.ref }, 'a replay cannot be adopted');
      waiting.answer(false);
    }
  }

  #hasWork(): boolean {
    const { services, silence } = this.#parts;
    const hasEvents = this.#queue.length > 0 || services.waiting > 0 || silence.hasFindings;
    return hasEvents || this.#saveWanted || this.#replayed !== null;
  }

  async #run(): Promise<void> {
    const { round, services, silence, watches, metrics } = this.#parts;
    while (this.#hasWork() && !this.#stopped) {
      await new Promise(setImmediate);
      if (this.#saveWanted) {
        this.#saveWanted = false;
        await watches.saveCheckpoints(this.#parts.records, this.#parts.log);
      }
      await this.#adoptReplay();
      const readings = this.#queue.slice(0, MOST_READINGS_PER_ROUND);
      this.#queue = this.#queue.slice(readings.length);
      const recorded = await services.take((ref) => watches.of(ref.site, ref.unit).serviceIds);
      const startedMs = performance.now();
      if (recorded === null || !(await round.judge(readings, recorded, silence.take()))) {
        // Closing, and the store refuses: the next start judges these readings again.
        this.#stopped = true;
        return;
      }
      this.#turns.turned();
      if (readings.length > 0) {
        metrics.judgingRoundSeconds.observe((performance.now() - startedMs) / 1000);
      }
      this.#pendingReadings -= readings.length;
      services.done();
      this.#parts.onRound();
    }
  }
}
