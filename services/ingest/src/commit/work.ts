import type { Reading } from '@lineside/readings';
import type { QuarantineEntry } from '@lineside/storage';

/** What one message becomes: to be committed before its acknowledgement leaves. */
export interface PreparedWork {
  readonly readings: readonly Reading[];
  readonly quarantine: readonly QuarantineEntry[];
}

/** One received message on its way to the stores. */
export interface Work {
  /** Size of the message, bytes. */
  readonly payloadBytes: number;
  /** Time of receipt, ms since 1970. */
  readonly receivedAtMs: number;
  /** Decodes it. Called once, when there is room for what comes out. */
  readonly prepare: () => PreparedWork;
  /** What goes into quarantine when the store says that the readings can never be kept. */
  readonly refused: (reason: string) => QuarantineEntry;
  /** True when its sender has gone and will send it again. */
  readonly gone: () => boolean;
  /** Called once, after the commit. */
  readonly acknowledge: () => void;
}

/** Memory of one decoded reading of six channels, bytes; an estimate on the safe side. */
const READING_BYTES = 400;

/** A message that was decoded and waits for its commit. */
export class TakenWork {
  readonly work: Work;
  readonly bytes: number;
  #prepared: PreparedWork;

  constructor(work: Work) {
    this.work = work;
    this.#prepared = work.prepare();
    this.bytes = work.payloadBytes + READING_BYTES * this.#prepared.readings.length;
  }

  get readings(): readonly Reading[] {
    return this.#prepared.readings;
  }

  get quarantine(): readonly QuarantineEntry[] {
    return this.#prepared.quarantine;
  }

  /** Its readings can never be stored: quarantine takes their place. */
  refuse(reason: string): void {
    const quarantine = [...this.quarantine, this.work.refused(reason)];
    this.#prepared = { readings: [], quarantine };
  }
}
