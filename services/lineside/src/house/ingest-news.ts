import type { UnitCondition } from '@lineside/anomaly';
import type { Reading } from '@lineside/readings';
import type { Logger } from 'pino';
import { Listeners } from './listeners.ts';

/** Who wants to hear what of ingest, wherever that runs. */
export abstract class IngestNews {
  protected readonly readings: Listeners<[readings: readonly Reading[]]>;
  protected readonly conditions: Listeners<[site: string, unit: string, condition: UnitCondition]>;
  protected readonly journal: Listeners<[]>;
  protected readonly fleet: Listeners<[]>;

  constructor(log: Pick<Logger, 'error'>) {
    this.readings = new Listeners(log);
    this.conditions = new Listeners(log);
    this.journal = new Listeners(log);
    this.fleet = new Listeners(log);
  }

  onReadings(listener: (readings: readonly Reading[]) => void): () => void {
    return this.readings.add(listener);
  }

  onCondition(
    listener: (site: string, unit: string, condition: UnitCondition) => void,
  ): () => void {
    return this.conditions.add(listener);
  }

  onJournal(listener: () => void): () => void {
    return this.journal.add(listener);
  }

  onFleet(listener: () => void): () => void {
    return this.fleet.add(listener);
  }
}
