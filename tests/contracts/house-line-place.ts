import type { UnitCondition } from '@lineside/anomaly';
import type { AlertingOnLine, HouseLine, IngestOnLine } from '@lineside/lineside/house';
import type { Reading } from '@lineside/readings';
import { vi } from 'vitest';

/** Tries until nothing throws any more, for as long as a busy machine may take. */
export async function eventually(check: () => void | Promise<void>): Promise<void> {
  await vi.waitFor(check, { timeout: 25_000, interval: 50 });
}

export const NOW_MS: number = Date.UTC(2026, 0, 10, 4);
export const SITE = 'harbour';

/** One house's line as its three services have it; the same one where they share a process. */
export interface LinePlace {
  readonly ofIngest: HouseLine;
  readonly ofApi: HouseLine;
  readonly ofAlerting: HouseLine;
  dispose(): Promise<void>;
}

export type MakeLinePlace = () => Promise<LinePlace>;

export function readingOf(unit: string, atMs: number, rh = 71.2): Reading {
  return { site: SITE, unit, atMs, channels: { rh } };
}

export function conditionAt(atMs: number): UnitCondition {
  return {
    atMs,
    operatingState: 'running',
    relativeHumidityPercent: 71.2,
    dewPointMarginKelvin: 2.5,
    marginInferred: true,
    vapourPressureExcessPascals: null,
    leakageMilliamps: 1.9,
    currentUnbalancePercent: 1.1,
    voltageUnbalancePercent: null,
    wetting: null,
    wetHours30Days: 12,
    learningBaseline: true,
    leakageOutlook: null,
  };
}

/** An ingest that does what a test says. */
export class PlayedIngest implements IngestOnLine {
  pendingCount = 0;
  /** Service records that another process added and nobody has heard of. */
  unheardServices = 0;
  recordsFailure: Error | null = null;
  readonly judged = new Map<string, number>();
  readonly serviced: string[] = [];
  journalLooks = 0;
  readonly #latest = new Map<string, Reading>();
  readonly #conditions = new Map<string, UnitCondition>();
  readonly #onReadings = new Set<(readings: readonly Reading[]) => void>();
  readonly #onCondition = new Set<Parameters<IngestOnLine['onCondition']>[0]>();
  readonly #onJournal = new Set<() => void>();

  commit(...readings: readonly Reading[]): void {
    for (const one of readings) this.#latest.set(one.unit, one);
    for (const listener of this.#onReadings) listener(readings);
  }
  judge(unit: string, condition: UnitCondition): void {
    this.#conditions.set(unit, condition);
    for (const listener of this.#onCondition) listener(SITE, unit, condition);
  }
  growJournal(): void {
    for (const listener of this.#onJournal) listener();
  }

  pending(): number {
    return this.pendingCount;
  }
  async hearOfServices(): Promise<void> {
    if (this.recordsFailure !== null) throw this.recordsFailure;
    this.pendingCount += this.unheardServices;
    this.unheardServices = 0;
  }
  health() {
    const well = { state: 'ok', reason: null } as const;
    const full = { state: 'degraded', reason: 'disk full' } as const;
    return { broker: well, telemetry: full, records: well };
  }
  pulse() {
    return {
      commitAgeMs: 1,
      waitingBytes: 2,
      lastCommitAtMs: NOW_MS,
      judgingAgeMs: 3,
      waitingReadings: 4,
    };
  }
  condition(_site: string, unit: string): UnitCondition | null {
    return this.#conditions.get(unit) ?? null;
  }
  latest(_site: string, unit: string): Reading | null {
    return this.#latest.get(unit) ?? null;
  }
  judgedThroughMs(_site: string, unit: string): number | null {
    return this.judged.get(unit) ?? null;
  }
  onReadings(listener: (readings: readonly Reading[]) => void) {
    this.#onReadings.add(listener);
    return () => void this.#onReadings.delete(listener);
  }
  onCondition(listener: Parameters<IngestOnLine['onCondition']>[0]) {
    this.#onCondition.add(listener);
    return () => void this.#onCondition.delete(listener);
  }
  onJournal(listener: () => void) {
    this.#onJournal.add(listener);
    return () => void this.#onJournal.delete(listener);
  }
  journalGrew(): void {
    this.journalLooks += 1;
    this.growJournal();
  }
  serviceRecorded(site: string, unit: string): void {
    this.serviced.push(`${site}/${unit}`);
  }
}

/** An alerting that counts what it is told. */
export class PlayedAlerting implements AlertingOnLine {
  messageHints = 0;
  failure: string | null = null;

  messagesWait(): void {
    this.messageHints += 1;
  }
  health() {
    return {
      caughtUpAtMs: NOW_MS,
      asksOpen: 0,
      failure: this.failure,
      deliverer: {
        isRunning: true,
        inFlight: 0,
        lastLookAtMs: NOW_MS,
        storeFailure: null,
        closedDoors: [],
      },
    };
  }
}
