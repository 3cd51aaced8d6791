import type { UnitCondition } from '@lineside/anomaly';
import type { IngestPulse } from '@lineside/ingest';
import type { Reading } from '@lineside/readings';
import type { UnitRef } from '@lineside/storage';
import { down, type IngestHealth, type IngestOnLine, type IngestSide, WELL } from './house-line.ts';
import { IngestNews } from './ingest-news.ts';

const STARTS = 'it starts: what is stored and not judged yet is judged first';

/** Nothing has to be done by what is not there yet. */
const NOT_YET: IngestPulse = {
  commitAgeMs: 0,
  waitingBytes: 0,
  lastCommitAtMs: null,
  judgingAgeMs: 0,
  waitingReadings: 0,
};

/** Ingest of this process, from before it serves on. */
export class NearIngest extends IngestNews implements IngestSide {
  #ingest: IngestOnLine | null = null;

  get isThere(): boolean {
    return this.#ingest !== null;
  }

  bring(ingest: IngestOnLine): void {
    this.#ingest = ingest;
    ingest.onReadings((readings) => this.readings.tell(readings));
    ingest.onCondition((...news) => this.conditions.tell(...news));
    ingest.onJournal(() => this.journal.tell());
    this.fleet.tell();
  }

  async health(): Promise<IngestHealth> {
    const ingest = this.#ingest;
    if (ingest === null) {
      const waits = down('not opened yet');
      return {
        ingest: down(STARTS),
        broker: waits,
        telemetry: waits,
        records: waits,
        pending: null,
      };
    }
    let pending: number | null = null;
    try {
      await ingest.hearOfServices();
      pending = ingest.pending();
    } catch {
      // The records tell of it; what another process recorded may wait unseen.
    }
    return { ingest: WELL, ...ingest.health(), pending };
  }

  pulse(): IngestPulse {
    return this.#ingest?.pulse() ?? NOT_YET;
  }

  condition(site: string, unit: string): UnitCondition | null {
    return this.#ingest?.condition(site, unit) ?? null;
  }

  latest(site: string, unit: string): Reading | null {
    return this.#ingest?.latest(site, unit) ?? null;
  }

  async judgedThroughMs(units: readonly UnitRef[]): Promise<readonly (number | null)[]> {
    return units.map(({ site, unit }) => this.#ingest?.judgedThroughMs(site, unit) ?? null);
  }

  journalGrew(): void {
    this.#ingest?.journalGrew();
  }

  serviceRecorded(site: string, unit: string): void {
    this.#ingest?.serviceRecorded(site, unit);
  }
}
