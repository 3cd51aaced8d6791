import { performance } from 'node:perf_hooks';
import type { Reading } from '@lineside/readings';
import type { TelemetryStore } from '@lineside/storage';
import { type AppendReport, type RecordStore, StoreError } from '@lineside/storage';
import type { IngestMetrics } from '../metrics.ts';
import { growingPauseMs, type Pauses } from './pause.ts';
import type { StoreHealth } from './store-health.ts';
import type { TakenWork } from './work.ts';

export interface BatchWriterParts {
  readonly telemetry: Pick<TelemetryStore, 'append'>;
  readonly records: Pick<RecordStore, 'quarantine'>;
  readonly telemetryHealth: StoreHealth;
  readonly recordsHealth: StoreHealth;
  readonly metrics: IngestMetrics;
  readonly pauses: Pauses;
}

/** Gets batches into the stores, however often it has to try. */
export class BatchWriter {
  readonly #parts: BatchWriterParts;

  constructor(parts: BatchWriterParts) {
    this.#parts = parts;
  }

  /**
   * Writes readings, then quarantine entries; resolves with true once all of it is durable. False
   * only when a store refuses while the process is closing.
   */
  async write(batch: readonly TakenWork[]): Promise<boolean> {
    return (await this.#writeReadings(batch)) && (await this.#writeQuarantine(batch));
  }

  async #writeReadings(batch: readonly TakenWork[]): Promise<boolean> {
    const readings = allReadings(batch);
    if (readings.length === 0) {
      return true;
    }
    const { telemetry, telemetryHealth } = this.#parts;
    const startedMs = performance.now();
    const outcome = await this.#untilKept(telemetryHealth, () => telemetry.append(readings));
    if (outcome.kind === 'kept') {
      this.#record(outcome.value, readings.length, performance.now() - startedMs);
      return true;
    }
    if (outcome.kind === 'given-up') {
      return false;
    }
    const [only] = batch;
    if (batch.length === 1 && only !== undefined) {
      only.refuse(outcome.reason);
      return true;
    }
    // Something in the batch can never be kept; find out which message, and keep the others.
    for (const taken of batch) {
      if (!(await this.#writeReadings([taken]))) {
        return false;
      }
    }
    return true;
  }

  async #writeQuarantine(batch: readonly TakenWork[]): Promise<boolean> {
    const entries = batch.flatMap((taken) => taken.quarantine);
    if (entries.length === 0) {
      return true;
    }
    const { records, recordsHealth } = this.#parts;
    const outcome = await this.#untilKept(recordsHealth, () => records.quarantine(entries));
    return outcome.kind !== 'given-up';
  }

  #record(report: AppendReport, readings: number, durationMs: number): void {
    const { metrics } = this.#parts;
    metrics.readingsStored.inc(readings);
    metrics.valuesStored.inc(report.storedValues);
    metrics.duplicateValues.inc(report.duplicateValues);
    metrics.commitReadings.observe(readings);
    metrics.commitSeconds.observe(durationMs / 1000);
  }

  async #untilKept<T>(health: StoreHealth, write: () => Promise<T>): Promise<Outcome<T>> {
    for (let attempt = 1; ; attempt++) {
      try {
        const value = await write();
        health.succeeded();
        return { kind: 'kept', value };
      } catch (error) {
        if (error instanceof StoreError && error.code === 'STORE_BAD_INPUT') {
          return { kind: 'refused', reason: error.message };
        }
        health.failed(error);
        if (this.#parts.pauses.ended) {
          return { kind: 'given-up' };
        }
        await this.#parts.pauses.wait(growingPauseMs(attempt));
      }
    }
  }
}

type Outcome<T> =
  | { readonly kind: 'kept'; readonly value: T }
  | { readonly kind: 'refused'; readonly reason: string }
  | { readonly kind: 'given-up' };

function allReadings(batch: readonly TakenWork[]): readonly Reading[] {
  const readings: Reading[] = [];
  for (const taken of batch) {
    for (const reading of taken.readings) {
      readings.push(reading);
    }
  }
  return readings;
}
