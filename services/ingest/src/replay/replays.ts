import { performance } from 'node:perf_hooks';
import type { UnitRef } from '@lineside/storage';
import type { Logger } from 'pino';
import { growingPauseMs, type Pauses } from '../commit/pause.ts';
import type { IngestMetrics } from '../metrics.ts';
import type { DirtyUnits } from './dirty-units.ts';
import type { LateMark } from './late-mark.ts';
import type { FinishedReplay } from './prepare-replay.ts';

export interface ReplaysParts {
  readonly dirty: DirtyUnits;
  /** Judges the unit's stored readings from before the mark on; null when it is not watched. */
  readonly replay: (mark: LateMark) => Promise<FinishedReplay | null>;
  /** Makes the outcome the unit's judgement; false when the process is closing. */
  readonly adopt: (finished: FinishedReplay) => Promise<boolean>;
  readonly metrics: IngestMetrics;
  readonly pauses: Pauses;
  readonly log: Logger;
}

/** Judges units again that got late data, one after another, the longest waiting first. */
export class Replays {
  readonly #parts: ReplaysParts;
  #timer: NodeJS.Timeout | null = null;
  #running: Promise<void> | null = null;
  #current: LateMark | null = null;
  #stopped = true;

  constructor(parts: ReplaysParts) {
    this.#parts = parts;
    parts.dirty.onChange(() => this.#schedule());
  }

  /** Readings and other causes whose replay is not committed. */
  get pending(): number {
    const current = this.#current === null ? 0 : Math.max(1, this.#current.readings);
    return this.#parts.dirty.pending + current;
  }

  /** Units whose replay is not committed. */
  get waitingUnits(): number {
    return this.#parts.dirty.units + (this.#current === null ? 0 : 1);
  }

  /** True while the unit has something late whose replay is not committed. */
  waitsFor({ site, unit }: UnitRef): boolean {
    const current = this.#current;
    if (current !== null && current.site === site && current.unit === unit) return true;
    return !this.#parts.dirty.isClean({ site, unit });
  }

  start(): void {
    this.#stopped = false;
    this.#schedule();
  }

  /** No further replay begins; resolves when the running one has ended. */
  async stop(): Promise<void> {
    this.#stopped = true;
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
    await this.#running;
  }

  #schedule(): void {
    if (this.#stopped || this.#running !== null) return;
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
    const next = this.#parts.dirty.next();
    if ('mark' in next) {
      this.#running = this.#run().finally(() => {
        this.#running = null;
        this.#schedule();
      });
    } else if (next.inMs < Infinity) {
      this.#timer = setTimeout(() => this.#schedule(), Math.max(1, next.inMs));
      this.#timer.unref();
    }
  }

  async #run(): Promise<void> {
    const { dirty } = this.#parts;
    for (let failures = 0; !this.#stopped; ) {
      const next = dirty.next();
      if (!('mark' in next)) return;
      const mark = dirty.take(next.mark);
      if (mark === null) return;
      this.#current = mark;
      const isDone = await this.#replay(mark);
      if (!isDone) dirty.giveBack(mark);
      this.#current = null;
      failures = isDone ? 0 : failures + 1;
      if (failures > 0) await this.#parts.pauses.wait(growingPauseMs(failures));
    }
  }

  async #replay(mark: LateMark): Promise<boolean> {
    const { metrics, log } = this.#parts;
    const startedMs = performance.now();
    try {
      const finished = await this.#parts.replay(mark);
      if (finished === null) return true;
      const isAdopted = await this.#parts.adopt(finished);
      if (isAdopted) {
        metrics.replays.inc();
        metrics.replaySeconds.observe((performance.now() - startedMs) / 1000);
      }
      return isAdopted;
    } catch (error) {
      const { site, unit } = mark;
      log.warn({ err: error, site, unit }, 'late readings cannot be judged yet; tried again');
      return false;
    }
  }
}
