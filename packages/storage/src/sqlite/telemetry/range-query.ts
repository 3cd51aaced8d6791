import type { RangeQuery, RangeResult } from '../../ports/telemetry-store.ts';
import { bucketWidth } from './bucket-width.ts';
import { ALL_CHANNELS, type ChannelMask, channelsIn, maskOf } from './channel-mask.ts';
import { BucketCollector, RawCollector } from './series-collector.ts';
import { QUARTER_MS, type Span } from './week.ts';
import type { WeekArchive } from './week-archive.ts';
import { ROLLUP_FIELDS, type StoredUnit, type WeekReader } from './week-reader.ts';

const NO_LIMIT: number = Number.MAX_SAFE_INTEGER;

/** Reads the range raw where no channel has more than `points` values, in buckets otherwise. */
export function readRange(archive: WeekArchive, query: RangeQuery): RangeResult {
  if (query.fromMs >= query.toMs || query.channels?.length === 0) return rawRange([]);
  if (hasMoreRows(archive, query, query.points)) {
    const widthMs = bucketWidth(query, query.points);
    const buckets = readBuckets(archive, query, widthMs);
    if (buckets.mostValues() > query.points) return { bucketMs: widthMs, series: buckets.series() };
    // Many rows, each with few of the channels: no channel alone has too many values.
  }
  return rawRange(readRaw(archive, query).series());
}

function rawRange(series: RangeResult['series']): RangeResult {
  return { bucketMs: 0, series };
}

/** Visits each week of the span with the unit and those of its channels that were asked for. */
function eachWeek(
  archive: WeekArchive,
  query: RangeQuery,
  visit: (week: WeekReader, unit: StoredUnit, mask: ChannelMask, part: Span) => 'stop' | undefined,
): void {
  const wanted = query.channels === null ? ALL_CHANNELS : maskOf(query.channels);
  archive.readSpan(query, (week, part) => {
    const unit = week.unit(query.site, query.unit);
    const mask = (unit?.channels ?? 0) & wanted;
    return unit === undefined || mask === 0 ? undefined : visit(week, unit, mask, part);
  });
}

/** Counting first costs a tenth of reading rows that turn out to be too many. */
function hasMoreRows(archive: WeekArchive, query: RangeQuery, most: number): boolean {
  let count = 0;
  eachWeek(archive, query, (week, unit, _mask, part) => {
    count += week.countRows(unit, part, most + 1 - count);
    return count > most ? 'stop' : undefined;
  });
  return count > most;
}

function readRaw(archive: WeekArchive, query: RangeQuery): RawCollector {
  const collector = new RawCollector();
  eachWeek(archive, query, (week, unit, mask, part) => {
    const channels = channelsIn(mask);
    for (const row of week.rows(unit, mask, part, NO_LIMIT)) {
      const atMs = row[0] ?? 0;
      for (let place = 0; place < channels.length; place++) {
        const value = row[place + 1];
        if (typeof value === 'number') collector.add(channels[place] ?? 0, atMs, value);
      }
    }
    return undefined;
  });
  return collector;
}

function readBuckets(archive: WeekArchive, query: RangeQuery, widthMs: number): BucketCollector {
  const collector = new BucketCollector(query, widthMs);
  const useRollups = widthMs % QUARTER_MS === 0;
  eachWeek(archive, query, (week, unit, mask, part) => {
    const parts = useRollups ? week.parts(unit, part) : { raw: [part], quarters: null };
    for (const span of parts.raw) addRows(collector, week, unit, mask, span);
    if (parts.quarters !== null) {
      addRollups(collector, week, unit, mask, parts.quarters.from, parts.quarters.to);
    }
    return undefined;
  });
  return collector;
}

function addRows(
  collector: BucketCollector,
  week: WeekReader,
  unit: StoredUnit,
  mask: ChannelMask,
  span: Span,
): void {
  const channels = channelsIn(mask);
  for (const row of week.rows(unit, mask, span, NO_LIMIT)) {
    const atMs = row[0] ?? 0;
    for (let place = 0; place < channels.length; place++) {
      const value = row[place + 1];
      if (typeof value !== 'number') continue;
      collector.add(channels[place] ?? 0, atMs, value, value, value, 1);
    }
  }
}

function addRollups(
  collector: BucketCollector,
  week: WeekReader,
  unit: StoredUnit,
  mask: ChannelMask,
  from: number,
  to: number,
): void {
  const channels = channelsIn(mask);
  for (const row of week.rollups(unit, mask, from, to)) {
    const atMs = (row[0] ?? 0) * QUARTER_MS;
    for (let place = 0; place < channels.length; place++) {
      const at = 1 + place * ROLLUP_FIELDS;
      const count = row[at + 3] ?? 0;
      if (count === 0) continue;
      const channel = channels[place] ?? 0;
      collector.add(channel, atMs, row[at] ?? 0, row[at + 1] ?? 0, row[at + 2] ?? 0, count);
    }
  }
}
