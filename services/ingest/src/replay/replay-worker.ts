import { TelemetryReadings, type WorkerAdapter } from '@lineside/storage';
import { createReplayer } from './create-replayer.ts';
import type { ReplayRequest, ReplayResult } from './replayer.ts';

/** Files are opened anew after this time, so that weeks that were deleted are let go. */
const REOPEN_AFTER_MS = 600_000;

export interface ReplayWorkerOptions {
  /** Folder of the telemetry store. */
  readonly folder: string;
}

/** Judges stored readings on a thread of its own, so that live units do not wait. */
export class ReplayWorker implements WorkerAdapter {
  readonly #folder: string;
  #readings: TelemetryReadings;
  #openedAtMs: number;

  constructor({ folder }: ReplayWorkerOptions) {
    this.#folder = folder;
    this.#readings = new TelemetryReadings({ folder });
    this.#openedAtMs = Date.now();
  }

  replay(request: ReplayRequest): Promise<ReplayResult> {
    if (Date.now() - this.#openedAtMs > REOPEN_AFTER_MS) {
      this.#readings.close();
      this.#readings = new TelemetryReadings({ folder: this.#folder });
      this.#openedAtMs = Date.now();
    }
    const readings = this.#readings;
    return createReplayer({ readings: async (query) => readings.readings(query) }).replay(request);
  }

  close(): void {
    this.#readings.close();
  }
}
