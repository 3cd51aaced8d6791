import { performance } from 'node:perf_hooks';
import type { IngestPulse } from '@lineside/ingest';
import type { Beat } from './news.ts';

/** Beats may be so far apart: three of them. */
const SILENT_AFTER_MS = 6_000;

/** How long a start may take, as with a server that is looked after as a whole. */
const STARTS_WITHIN_MS = 15 * 60_000;

/** The heartbeat of an ingest in another process; what stays out makes it old. */
export class FarPulse {
  readonly #clock: () => number;
  #heardAtMs: number;
  #startsSinceMs: number | null = null;
  #pulse: IngestPulse = {
    commitAgeMs: 0,
    waitingBytes: 0,
    lastCommitAtMs: null,
    judgingAgeMs: 0,
    waitingReadings: 0,
  };

  /** @param clock milliseconds that only go on */
  constructor(clock: () => number = () => performance.now()) {
    this.#clock = clock;
    this.#heardAtMs = clock();
  }

  heard({ serves, pulse }: Pick<Beat, 'serves' | 'pulse'>): void {
    this.#heardAtMs = this.#clock();
    this.#pulse = pulse;
    this.#startsSinceMs = serves ? null : (this.#startsSinceMs ?? this.#heardAtMs);
  }

  now(): IngestPulse {
    const nowMs = this.#clock();
    const silentMs = nowMs - this.#heardAtMs;
    const isSilent = silentMs > SILENT_AFTER_MS;
    const startsMs = this.#startsSinceMs === null ? 0 : nowMs - this.#startsSinceMs;
    const isLate = startsMs > STARTS_WITHIN_MS;
    const lostMs = Math.max(isSilent ? silentMs : 0, isLate ? startsMs : 0);
    return { ...this.#pulse, commitAgeMs: this.#pulse.commitAgeMs + lostMs };
  }
}
