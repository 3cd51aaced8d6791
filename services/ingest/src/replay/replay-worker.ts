import {
  openReadings,
  type ReadingsDoor,
  type TelemetrySource,
  type WorkerAdapter,
} from '@lineside/storage';
import { createReplayer } from './create-replayer.ts';
import type { ReplayRequest, ReplayResult } from './replayer.ts';

/** The store is opened anew after this time, so that weeks that were deleted are let go. */
const REOPEN_AFTER_MS = 600_000;

/** Judges stored readings on a thread of its own, so that live units do not wait. */
export class ReplayWorker implements WorkerAdapter {
  readonly #source: TelemetrySource;
  #door: Promise<ReadingsDoor> | null = null;
  #openedAtMs = 0;

  constructor(source: TelemetrySource) {
    this.#source = source;
  }

  async replay(request: ReplayRequest): Promise<ReplayResult> {
    return createReplayer(await this.#open()).replay(request);
  }

  close(): void {
    this.#letGo();
  }

  #open(): Promise<ReadingsDoor> {
    if (this.#door !== null && Date.now() - this.#openedAtMs > REOPEN_AFTER_MS) this.#letGo();
    if (this.#door === null) {
      const door = openReadings(this.#source);
      // What could not be opened is tried again by the next replay.
      door.catch(() => {
        if (this.#door === door) this.#door = null;
      });
      this.#door = door;
      this.#openedAtMs = Date.now();
    }
    return this.#door;
  }

  #letGo(): void {
    this.#door?.then(
      (door) => door.close(),
      () => {},
    );
    this.#door = null;
  }
}
