import { ALL_CHANNELS } from '../sqlite/telemetry/channel-mask.ts';
import type { UnitBatch } from './append-batch.ts';
import type { InfluxConnection } from './influx-connection.ts';
import { newestStatement } from './influxql.ts';
import { numberAt } from './query-answer.ts';

/** Units of one statement: their names make 5 KB of address at most. */
const MOST_UNITS = 50;

/** Statements of one request: a year of storage periods of fifty units takes 0.3 s. */
const TOGETHER = 4;

/**
 * Newest event time of each unit that was written, or that writing was tried for: after it nothing
 * is stored. It is asked for once, when a unit is first met, and only from the batch's own times
 * on, since the server is slow to look through all its periods.
 */
export class NewestTimes {
  readonly #newestMs = new Map<string, number>();

  of(unit: UnitBatch): number {
    return this.#newestMs.get(keyOf(unit.site, unit.unit)) ?? -1;
  }

  raise(unit: UnitBatch, atMs: number): void {
    this.#newestMs.set(keyOf(unit.site, unit.unit), Math.max(atMs, this.of(unit)));
  }

  /** Learns of the units that were not met before; those without readings are left out. */
  async learn(connection: InfluxConnection, units: readonly UnitBatch[]): Promise<void> {
    const unmet = units
      .filter((one) => one.newestMs >= 0 && !this.#newestMs.has(keyOf(one.site, one.unit)))
      .sort((a, b) => a.oldestMs - b.oldestMs);
    const groups: { readonly fromMs: number; readonly units: readonly UnitBatch[] }[] = [];
    for (let at = 0; at < unmet.length; at += MOST_UNITS) {
      const group = unmet.slice(at, at + MOST_UNITS);
      groups.push({ fromMs: group[0]?.oldestMs ?? 0, units: group });
    }
    const statements = groups.map((group) =>
      newestStatement(ALL_CHANNELS, group.fromMs, group.units),
    );
    const answers = await connection.query(statements, TOGETHER);
    for (const [place, { fromMs, units: ofGroup }] of groups.entries()) {
      for (const unit of ofGroup) this.raise(unit, fromMs - 1);
      for (const { tags, columns, values } of answers[place] ?? []) {
        const atMs = numberAt(values[0] ?? [], columns.indexOf('time'));
        const unit = ofGroup.find(
          ({ site, unit }) => tags['site'] === site && tags['unit'] === unit,
        );
        if (unit !== undefined && atMs !== null) this.raise(unit, atMs);
      }
    }
  }
}

function keyOf(site: string, unit: string): string {
  return `${site}/${unit}`;
}
