import { channelsIn } from '../sqlite/telemetry/channel-mask.ts';
import { LATE_MEASUREMENT, QUARTER_MEASUREMENT, SUMMED_MEASUREMENT } from './influx-options.ts';
import { aggregateColumn, quarterField, type UnitTags } from './influxql.ts';
import { tagValue } from './line-protocol.ts';
import { type AnswerSeries, columnPlaces, numberAt } from './query-answer.ts';

const AGGREGATES = ['min', 'max', 'sum', 'count'] as const;

/** Lines of the quarters of one unit, from an answer to `summingStatement`. */
export function quarterLines(series: AnswerSeries, mask: number): string[] {
  const { site = '', unit = '' } = series.tags;
  const head = headOf(QUARTER_MEASUREMENT, { site, unit });
  const time = series.columns.indexOf('time');
  const channels = channelsIn(mask).map((channel) => ({
    fields: AGGREGATES.map((aggregate) => quarterField(channel, aggregate)),
    places: columnPlaces(
      series,
      AGGREGATES.map((aggregate) => aggregateColumn(channel, aggregate)),
    ),
  }));
  return series.values.flatMap((row) => {
    const fields: string[] = [];
    for (const { fields: names, places } of channels) {
      const numbers = places.map((place) => numberAt(row, place));
      if ((numbers[3] ?? 0) === 0) continue;
      for (const [at, name] of names.entries()) fields.push(`${name}=${numbers[at] ?? 0}`);
    }
    const startMs = numberAt(row, time);
    return fields.length === 0 || startMs === null ? [] : [`${head} ${fields} ${startMs}`];
  });
}

/** Marks a day of a unit as one whose quarters lack late readings, or no longer do. */
export function lateDayLine(unit: UnitTags, dayMs: number, isOpen: boolean): string {
  return `${headOf(LATE_MEASUREMENT, unit)} open=${isOpen ? 1 : 0} ${dayMs}`;
}

/** Says how far quarters are summed up. */
export function summedLine(beforeMs: number): string {
  return `${SUMMED_MEASUREMENT} before=${beforeMs} ${beforeMs}`;
}

function headOf(measurement: string, { site, unit }: UnitTags): string {
  return `${measurement},site=${tagValue(site)},unit=${tagValue(unit)}`;
}
