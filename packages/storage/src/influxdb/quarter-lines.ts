import { channelAt, channelsIn } from '../sqlite/telemetry/channel-mask.ts';
import { QUARTER_MS } from '../sqlite/telemetry/week.ts';
import { LATE_MEASUREMENT, QUARTER_MEASUREMENT, SUMMED_MEASUREMENT } from './influx-options.ts';
import { quarterField, type UnitTags } from './influxql.ts';
import { tagValue } from './line-protocol.ts';
import { type AnswerSeries, columnPlaces, numberAt } from './query-answer.ts';

/** What the values of one channel in one quarter come to. */
interface Total {
  min: number;
  max: number;
  sum: number;
  count: number;
}

/** Sums rows of one unit up to lines of its quarters; the rows come oldest first, page by page. */
export class QuarterLines {
  readonly #head: string;
  readonly #channels: readonly number[];
  readonly #lines: string[] = [];
  #totals = new Map<number, Total>();
  #startMs = -1;

  constructor(unit: UnitTags, mask: number) {
    this.#head = headOf(QUARTER_MEASUREMENT, unit);
    this.#channels = channelsIn(mask);
  }

  add(series: AnswerSeries, rows: AnswerSeries['values'] = series.values): void {
    const time = series.columns.indexOf('time');
    const places = columnPlaces(series, this.#channels.map(channelAt));
    for (const row of rows) {
      const startMs = Math.floor((numberAt(row, time) ?? 0) / QUARTER_MS) * QUARTER_MS;
      if (startMs !== this.#startMs) this.#closeQuarter();
      this.#startMs = startMs;
      for (const [at, channel] of this.#channels.entries()) {
        const value = numberAt(row, places[at] ?? -1);
        if (value !== null) this.#addValue(channel, value);
      }
    }
  }

  /** To be called once, after the last row. */
  lines(): readonly string[] {
    this.#closeQuarter();
    return this.#lines;
  }

  #addValue(channel: number, value: number): void {
    const total = this.#totals.get(channel);
    if (total === undefined) {
      this.#totals.set(channel, { min: value, max: value, sum: value, count: 1 });
      return;
    }
    if (value < total.min) total.min = value;
    if (value > total.max) total.max = value;
    total.sum += value;
    total.count += 1;
  }

  #closeQuarter(): void {
    if (this.#totals.size === 0) return;
    const fields = [...this.#totals].map(([channel, { min, max, sum, count }]) => {
      const name = (aggregate: 'min' | 'max' | 'sum' | 'count') => quarterField(channel, aggregate);
      const range = `${name('min')}=${min},${name('max')}=${max}`;
      return `${range},${name('sum')}=${sum},${name('count')}=${count}`;
    });
    this.#lines.push(`${this.#head} ${fields} ${this.#startMs}`);
    this.#totals = new Map();
  }
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
