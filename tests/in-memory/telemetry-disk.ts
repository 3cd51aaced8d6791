import { CHANNEL_NAMES, type ChannelName, ID_PATTERN, type Reading } from '@lineside/readings';
import { type AppendReport, StoreError } from '@lineside/storage';

const TIME_END_MS = Date.UTC(10_000, 0, 1);

type Row = { [name in ChannelName]?: number };

interface UnitRows {
  readonly site: string;
  readonly unit: string;
  readonly byTime: Map<number, Row>;
  /** Ascending; null when rows were added since. */
  times: readonly number[] | null;
}

/** What a telemetry store keeps, apart from any handle: it survives a crash of the service. */
export class TelemetryDisk {
  readonly #units = new Map<string, UnitRows>();

  /** The first value of a channel and time wins; all of the batch or nothing. */
  append(readings: readonly Reading[]): AppendReport {
    for (const [index, reading] of readings.entries()) checkReading(reading, index);
    let storedValues = 0;
    let duplicateValues = 0;
    for (const { site, unit, atMs, channels } of readings) {
      const names = CHANNEL_NAMES.filter((name) => channels[name] !== undefined);
      if (names.length === 0) continue;
      const row = this.#row(site, unit, atMs);
      for (const name of names) {
        if (row[name] === undefined) {
          row[name] = channels[name] ?? 0;
          storedValues += 1;
        } else duplicateValues += 1;
      }
    }
    return { storedValues, duplicateValues };
  }

  /** Readings with fromMs <= t < toMs, oldest first. */
  readings(site: string, unit: string, fromMs: number, toMs: number, limit: number): Reading[] {
    const rows = this.#units.get(`${site}/${unit}`);
    if (rows === undefined) return [];
    rows.times ??= [...rows.byTime.keys()].sort((one, other) => one - other);
    const found: Reading[] = [];
    for (const atMs of rows.times) {
      if (atMs >= toMs || found.length >= limit) break;
      if (atMs >= fromMs) found.push({ site, unit, atMs, channels: inOrder(rows, atMs) });
    }
    return found;
  }

  latest(): Reading[] {
    return [...this.#units.values()].flatMap(({ site, unit, byTime }) => {
      const lastMs = Math.max(...byTime.keys());
      return this.readings(site, unit, lastMs, lastMs + 1, 1);
    });
  }

  value(site: string, unit: string, atMs: number, channel: ChannelName): number | undefined {
    return this.#units.get(`${site}/${unit}`)?.byTime.get(atMs)?.[channel];
  }

  units(): readonly { readonly site: string; readonly unit: string }[] {
    return [...this.#units.values()];
  }

  /** Forgets single readings: the shortest storage period there can be. */
  dropBefore(beforeMs: number): void {
    for (const [key, rows] of this.#units) {
      for (const atMs of rows.byTime.keys()) if (atMs < beforeMs) rows.byTime.delete(atMs);
      rows.times = null;
      if (rows.byTime.size === 0) this.#units.delete(key);
    }
  }

  copy(): TelemetryDisk {
    const copy = new TelemetryDisk();
    for (const { site, unit } of this.#units.values()) {
      copy.append(this.readings(site, unit, 0, TIME_END_MS, Number.POSITIVE_INFINITY));
    }
    return copy;
  }

  #row(site: string, unit: string, atMs: number): Row {
    const key = `${site}/${unit}`;
    const rows = this.#units.get(key) ?? { site, unit, byTime: new Map(), times: null };
    this.#units.set(key, rows);
    const row = rows.byTime.get(atMs) ?? {};
    if (!rows.byTime.has(atMs)) {
      rows.byTime.set(atMs, row);
      rows.times = null;
    }
    return row;
  }
}

function inOrder(rows: UnitRows, atMs: number): Row {
  const row = rows.byTime.get(atMs) ?? {};
  const ordered: Row = {};
  for (const name of CHANNEL_NAMES) {
    const value = row[name];
    if (value !== undefined) ordered[name] = value;
  }
  return ordered;
}

function checkReading({ site, unit, atMs, channels }: Reading, index: number): void {
  const names: readonly string[] = CHANNEL_NAMES;
  const isTime = Number.isInteger(atMs) && atMs >= 0 && atMs < TIME_END_MS;
  const isPlace = ID_PATTERN.test(site) && ID_PATTERN.test(unit);
  const areValues = Object.entries(channels).every(
    ([name, value]) => names.includes(name) && Number.isFinite(value),
  );
  if (isTime && isPlace && areValues) return;
  throw new StoreError('STORE_BAD_INPUT', `Reading ${index} of the batch breaks the port's rules`);
}
