import type { QuarterSeries, QuartersQuery } from '../../ports/telemetry-store.ts';
import { channelAt, channelsIn, maskOf } from './channel-mask.ts';
import { QUARTER_MS, type Span } from './week.ts';
import type { WeekArchive } from './week-archive.ts';
import { ROLLUP_FIELDS, type StoredUnit, type WeekReader } from './week-reader.ts';

const NO_LIMIT: number = Number.MAX_SAFE_INTEGER;

/** Rollups of the quarters that start within each query's span. */
export function readQuarters(
  archive: WeekArchive,
  queries: readonly QuartersQuery[],
): readonly QuarterSeries[] {
  return queries.flatMap((query) => {
    const whole = wholeQuarters(query);
    const wanted = maskOf(query.channels);
    const collectors = new Map<number, QuarterCollector>();
    const collectorOf = (channel: number): QuarterCollector => {
      const known = collectors.get(channel) ?? new QuarterCollector();
      collectors.set(channel, known);
      return known;
    };
    archive.readSpan(whole, (week, part) => {
      const unit = week.unit(query.site, query.unit);
      const channels = channelsIn((unit?.channels ?? 0) & wanted);
      if (unit !== undefined && channels.length > 0) {
        addPart(
          week,
          unit,
          channels.map((channel) => ({ channel, into: collectorOf(channel) })),
          part,
        );
      }
      return undefined;
    });
    const { site, unit } = query;
    return [...collectors]
      .filter(([, collector]) => collector.length > 0)
      .sort(([one], [other]) => one - other)
      .map(([channel, collector]) => ({
        site,
        unit,
        channel: channelAt(channel),
        ...collector.columns(),
      }));
  });
}

function wholeQuarters({ fromMs, toMs }: Span): Span {
  return {
    fromMs: Math.ceil(fromMs / QUARTER_MS) * QUARTER_MS,
    toMs: Math.ceil(toMs / QUARTER_MS) * QUARTER_MS,
  };
}

interface Filled {
  readonly channel: number;
  readonly into: QuarterCollector;
}

/** Rollups first, then the rows of what has none yet: the unit's newest quarter of the file. */
function addPart(week: WeekReader, unit: StoredUnit, filled: readonly Filled[], part: Span): void {
  const mask = filled.reduce((bits, { channel }) => bits | (1 << channel), 0);
  const { quarters, raw } = week.parts(unit, part);
  if (quarters !== null) {
    for (const row of week.rollups(unit, mask, quarters.from, quarters.to)) {
      for (const [place, { into }] of filled.entries()) {
        const at = 1 + place * ROLLUP_FIELDS;
        if ((row[at + 3] ?? 0) === 0) continue;
        into.add((row[0] ?? 0) * QUARTER_MS, row[at] ?? 0, row[at + 1] ?? 0, row[at + 2] ?? 0);
      }
    }
  }
  for (const span of raw) {
    for (const row of week.rows(unit, mask, span, NO_LIMIT)) {
      const startMs = Math.floor((row[0] ?? 0) / QUARTER_MS) * QUARTER_MS;
      for (const [place, { into }] of filled.entries()) {
        const value = row[place + 1];
        if (typeof value === 'number') into.add(startMs, value, value, value);
      }
    }
  }
}

/** Quarters of one channel, added oldest first; values of one quarter are joined. */
class QuarterCollector {
  readonly #startMs: number[] = [];
  readonly #min: number[] = [];
  readonly #max: number[] = [];
  readonly #sum: number[] = [];

  get length(): number {
    return this.#startMs.length;
  }

  add(startMs: number, min: number, max: number, sum: number): void {
    const last = this.#startMs.length - 1;
    if (this.#startMs[last] !== startMs) {
      this.#startMs.push(startMs);
      this.#min.push(min);
      this.#max.push(max);
      this.#sum.push(sum);
      return;
    }
    this.#min[last] = Math.min(this.#min[last] ?? min, min);
    this.#max[last] = Math.max(this.#max[last] ?? max, max);
    this.#sum[last] = (this.#sum[last] ?? 0) + sum;
  }

  columns(): Pick<QuarterSeries, 'startMs' | 'min' | 'max' | 'sum'> {
    return {
      startMs: Float64Array.from(this.#startMs),
      min: Float64Array.from(this.#min),
      max: Float64Array.from(this.#max),
      sum: Float64Array.from(this.#sum),
    };
  }
}
