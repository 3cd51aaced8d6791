import type { UnitCondition } from '@lineside/anomaly';
import type { Reading } from '@lineside/readings';
import type { HouseHealth, LiveView, PartHealth } from '../../src/dependencies.ts';

const OK: PartHealth = { state: 'ok', reason: null };

/** A live view that tests speak through. */
export class TestLive implements LiveView {
  pendingCount: number | null = 0;
  parts: Omit<HouseHealth, 'pending'> = {
    ingest: OK,
    alerting: OK,
    broker: OK,
    telemetry: OK,
    records: OK,
  };
  readonly conditions = new Map<string, UnitCondition>();
  readonly readings = new Map<string, Reading>();
  readonly serviced: string[] = [];
  journalHints = 0;
  readonly #readingListeners = new Set<(readings: readonly Reading[]) => void>();
  readonly #conditionListeners = new Set<Parameters<LiveView['onCondition']>[0]>();
  readonly #journalListeners = new Set<() => void>();

  /** What `ApiDependencies.health` answers with. */
  async health(): Promise<HouseHealth> {
    return { ...this.parts, pending: this.pendingCount };
  }
  condition(site: string, unit: string) {
    return this.conditions.get(`${site}/${unit}`) ?? null;
  }
  latest(site: string, unit: string) {
    return this.readings.get(`${site}/${unit}`) ?? null;
  }
  onReadings(listener: (readings: readonly Reading[]) => void) {
    this.#readingListeners.add(listener);
    return () => void this.#readingListeners.delete(listener);
  }
  onCondition(listener: Parameters<LiveView['onCondition']>[0]) {
    this.#conditionListeners.add(listener);
    return () => void this.#conditionListeners.delete(listener);
  }
  onJournal(listener: () => void) {
    this.#journalListeners.add(listener);
    return () => void this.#journalListeners.delete(listener);
  }
  journalGrew() {
    this.journalHints += 1;
    for (const listener of this.#journalListeners) listener();
  }
  serviceRecorded(site: string, unit: string) {
    this.serviced.push(`${site}/${unit}`);
  }

  commit(...readings: readonly Reading[]) {
    for (const listener of this.#readingListeners) listener(readings);
  }
  judge(site: string, unit: string, condition: UnitCondition) {
    for (const listener of this.#conditionListeners) listener(site, unit, condition);
  }
  get listenerCount() {
    return (
      this.#readingListeners.size + this.#conditionListeners.size + this.#journalListeners.size
    );
  }
}

export function conditionAt(atMs: number, more: Partial<UnitCondition> = {}): UnitCondition {
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
    ...more,
  };
}
