import type { Reading } from '@lineside/readings';
import type { QuarantineEntry } from '@lineside/storage';
import type { IngestMetrics } from '../metrics.ts';
import type { ArrivalOrder } from '../replay/arrivals.ts';
import { Turns } from '../turns.ts';
import type { BatchWriter } from './batch-writer.ts';
import { TakenWork, type Work } from './work.ts';

/** Readings of one commit: larger ones gain little and hold the others up for tens of ms. */
export const MOST_READINGS_PER_COMMIT = 5_000;

/** Decoded messages that wait for a commit, bytes: about a second of the fastest backlog. */
const MOST_WAITING_BYTES = 64 * 1024 * 1024;

/** Undecoded messages among which it is not worth looking for senders that have gone. */
const LEAST_TIDY_LENGTH = 1_000;

/** A message whose newest reading is older when it comes brings what a node had kept. */
const LIVE_WITHIN_MS = 600_000;

export interface CommitQueueParts {
  readonly writer: BatchWriter;
  readonly metrics: IngestMetrics;
  readonly clock: () => number;
  /** False while those who use committed readings cannot take more. */
  readonly mayTake: () => boolean;
  /**
   * Called before a batch is committed; what it resolves with comes back after the commit. Null
   * when the process is closing: the batch is given up.
   */
  readonly beforeCommit: (readings: readonly Reading[]) => Promise<ArrivalOrder | null>;
  /** Called after the commit and before the acknowledgements leave. */
  readonly onCommitted: (readings: readonly Reading[], order: ArrivalOrder) => void;
  readonly mostWaitingBytes?: number;
}

type Observer = ReturnType<IngestMetrics['eventToCommitSeconds']['labels']>;

/**
 * Merges what all nodes send into batches: while one commit runs, the next batch gathers. An
 * acknowledgement leaves after its commit only. When too much waits, further messages are left
 * undecoded and unacknowledged, so that their senders stop sending; none is dropped.
 */
export class CommitQueue {
  readonly #parts: CommitQueueParts;
  readonly #mostWaitingBytes: number;
  // Looked up once, not for each message.
  readonly #ageOfLive: Observer;
  readonly #ageOfBacklog: Observer;
  readonly #turns = new Turns();
  #lastCommitAtMs: number | null = null;
  #taken: TakenWork[] = [];
  #takenBytes = 0;
  #takenMessages = 0;
  #waiting: Work[] = [];
  #tidyAtLength = LEAST_TIDY_LENGTH;
  #running: Promise<void> | null = null;
  #stopped = false;

  constructor(parts: CommitQueueParts) {
    this.#parts = parts;
    const { eventToCommitSeconds } = parts.metrics;
    this.#ageOfLive = eventToCommitSeconds.labels({ delivery: 'live' });
    this.#ageOfBacklog = eventToCommitSeconds.labels({ delivery: 'backlog' });
    this.#mostWaitingBytes = parts.mostWaitingBytes ?? MOST_WAITING_BYTES;
  }

  /** Bytes of decoded messages that are not committed yet. */
  get waitingBytes(): number {
    return this.#takenBytes;
  }

  /** Decoded messages that are not committed yet. */
  get waitingMessages(): number {
    return this.#takenMessages;
  }

  /** How long ago a batch was last begun or committed, milliseconds; 0 while none is. */
  get turnAgeMs(): number {
    return this.#turns.ageMs(this.#running !== null);
  }

  /** When readings were last committed; null before the first of this process. */
  get lastCommitAtMs(): number | null {
    return this.#lastCommitAtMs;
  }

  /** Messages that are not decoded, for want of room. */
  get undecodedMessages(): number {
    return this.#waiting.length;
  }

  submit(work: Work): void {
    if (this.#waiting.length > 0 || !this.#hasRoom()) {
      this.#wait(work);
      return;
    }
    this.#take(work);
  }

  /** To be called when `mayTake` may have become true. */
  takeWaiting(): void {
    let next = 0;
    while (next < this.#waiting.length && this.#hasRoom()) {
      const work = this.#waiting[next++];
      if (work !== undefined && !work.gone()) {
        this.#take(work);
      }
    }
    this.#waiting = this.#waiting.slice(next);
  }

  /** Resolves when everything taken is committed, or given up because the writer was told to. */
  async drain(): Promise<void> {
    this.#stopped = true;
    await this.#running;
  }

  /**
   * Senders that give up and come back send the same again, over and over in a long outage: what
   * waits for those that have gone is forgotten whenever the room has doubled.
   */
  #wait(work: Work): void {
    this.#waiting.push(work);
    if (this.#waiting.length >= this.#tidyAtLength) {
      this.#waiting = this.#waiting.filter((one) => !one.gone());
      this.#tidyAtLength = Math.max(LEAST_TIDY_LENGTH, 2 * this.#waiting.length);
    }
  }

  #hasRoom(): boolean {
    return !this.#stopped && this.#takenBytes < this.#mostWaitingBytes && this.#parts.mayTake();
  }

  #take(work: Work): void {
    const taken = new TakenWork(work);
    this.#taken.push(taken);
    this.#takenBytes += taken.bytes;
    this.#takenMessages += 1;
    if (this.#running !== null) return;
    this.#turns.turned();
    this.#running = this.#run().finally(() => {
      this.#running = null;
    });
  }

  async #run(): Promise<void> {
    while (this.#taken.length > 0) {
      // One turn of the event loop: sockets that are readable now join this batch.
      await new Promise(setImmediate);
      const batch = this.#nextBatch();
      const order = await this.#parts.beforeCommit(readingsOf(batch));
      if (order === null || !(await this.#parts.writer.write(batch))) {
        // Given up while closing: nothing is acknowledged, so the nodes send it again.
        return;
      }
      this.#finish(batch, order);
    }
  }

  #nextBatch(): TakenWork[] {
    let readings = 0;
    let count = 0;
    while (count < this.#taken.length && readings < MOST_READINGS_PER_COMMIT) {
      readings += this.#taken[count]?.readings.length ?? 0;
      count += 1;
    }
    const batch = this.#taken.slice(0, count);
    this.#taken = this.#taken.slice(count);
    return batch;
  }

  #finish(batch: readonly TakenWork[], order: ArrivalOrder): void {
    const nowMs = this.#parts.clock();
    this.#turns.turned();
    for (const taken of batch) {
      this.#takenBytes -= taken.bytes;
      this.#takenMessages -= 1;
      this.#measure(taken, nowMs);
      this.#count(taken.quarantine);
    }
    const readings = readingsOf(batch);
    if (readings.length > 0) this.#lastCommitAtMs = nowMs;
    if (readings.length > 0 || order.marks.length > 0) {
      this.#parts.onCommitted(readings, order);
    }
    for (const taken of batch) {
      taken.work.acknowledge();
    }
    this.takeWaiting();
  }

  #measure({ work, readings }: TakenWork, nowMs: number): void {
    const { metrics } = this.#parts;
    metrics.receiptToCommitSeconds.observe(Math.max(0, nowMs - work.receivedAtMs) / 1000);
    let newestMs = -Infinity;
    for (const reading of readings) newestMs = Math.max(newestMs, reading.atMs);
    if (newestMs === -Infinity) return;
    const isLive = work.receivedAtMs - newestMs <= LIVE_WITHIN_MS;
    const ageSeconds = Math.max(0, nowMs - newestMs) / 1000;
    (isLive ? this.#ageOfLive : this.#ageOfBacklog).observe(ageSeconds);
  }

  #count(entries: readonly QuarantineEntry[]): void {
    for (const entry of entries) {
      this.#parts.metrics.quarantined.inc({ code: entry.code });
    }
  }
}

function readingsOf(batch: readonly TakenWork[]): readonly Reading[] {
  const readings: Reading[] = [];
  for (const taken of batch) {
    for (const reading of taken.readings) readings.push(reading);
  }
  return readings;
}
