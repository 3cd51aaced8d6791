import type { SumUpReport } from '../ports/telemetry-store.ts';
import { ALL_CHANNELS, maskOf } from '../sqlite/telemetry/channel-mask.ts';
import { overlap, QUARTER_MS, type Span } from '../sqlite/telemetry/week.ts';
import type { InfluxGeneration } from './generation.ts';
import type { InfluxConnection } from './influx-connection.ts';
import { indexedUnits } from './influx-latest.ts';
import {
  lateDaysStatement,
  MOST_ROWS,
  oldestStatement,
  type UnitTags,
  unitsRowsStatement,
} from './influxql.ts';
import { knownChannels } from './known-channels.ts';
import type { LateDay, LateDays } from './late-days.ts';
import { QuarterLines, summedLine } from './quarter-lines.ts';
import { numberAt } from './query-answer.ts';
import { eachRowPage } from './row-pages.ts';
import { daySpan, dayStart } from './span-parts.ts';
import { timesOf } from './summed-up.ts';

/**
 * A quarter is summed up so long after its end: nodes send every few minutes, and what comes later
 * costs a day of the unit to be read again.
 */
const RIPE_AFTER_MS: number = QUARTER_MS;

/**
 * Rows of one statement, at a reading a minute: some 2 MB of JSON. Reading rows and adding up here
 * takes the first generation half the time of adding up there, and nobody a second way to count.
 */
const USUAL_ROWS = 15_000;
const MINUTE_MS = 60_000;
/** Units of one statement: their names make 5 KB of address at most. */
const MOST_UNITS = 50;

/** Without a list of units all come at once: a thousand of them have 15,000 rows in a quarter. */
const STEP_WITHOUT_LIST_MS: number = QUARTER_MS;

/** Late days that are asked for at once, of each unit. */
const LATE_DAYS_AT_ONCE = 100;

/** Runs the work between two writes. */
export type InTurn = <T>(work: () => Promise<T>) => Promise<T>;

/**
 * Sums readings up to quarters of an hour and keeps them beside the readings.
 *
 * First the days that got readings late, then quarters that have ended since the last time, a day
 * at a time. What was summed up is told to the server only after it is there: whenever this ends in
 * between, the next run does it again, and writing a quarter again changes nothing.
 */
export class QuarterSummer {
  readonly #connection: InfluxConnection;
  readonly #generation: InfluxGeneration;
  readonly #late: LateDays;
  readonly #inTurn: InTurn;
  #isEnding = false;
  #quarters = 0;

  constructor(
    connection: InfluxConnection,
    generation: InfluxGeneration,
    late: LateDays,
    inTurn: InTurn,
  ) {
    this.#connection = connection;
    this.#generation = generation;
    this.#late = late;
    this.#inTurn = inTurn;
  }

  /** Ends after the step that runs. */
  end(): void {
    this.#isEnding = true;
  }

  async sumUp(nowMs: number): Promise<SumUpReport> {
    this.#quarters = 0;
    const beforeMs = await this.#late.beforeMs();
    const targetMs = Math.floor((nowMs - RIPE_AFTER_MS) / QUARTER_MS) * QUARTER_MS;
    if (this.#late.mayHaveSome) await this.#redoLateDays();
    if (targetMs > beforeMs) await this.#advance(beforeMs, targetMs);
    return { beforeMs: await this.#late.beforeMs(), quarters: this.#quarters };
  }

  async #redoLateDays(): Promise<void> {
    let redone = 1;
    while (redone > 0 && !this.#isEnding) {
      this.#late.mayHaveSome = false;
      const days = await this.#markedDays();
      if (days.size === 0) return;
      this.#late.mayHaveSome = true;
      const mask = await this.#mask();
      redone = 0;
      for (const [dayMs, units] of days) {
        const step = unitsTogether(daySpan(dayMs));
        for (let at = 0; at < units.length && !this.#isEnding; at += step) {
          redone += await this.#redoDay(dayMs, units.slice(at, at + step), mask);
        }
      }
    }
  }

  async #markedDays(): Promise<ReadonlyMap<number, readonly UnitTags[]>> {
    const [found = []] = await this.#connection.query([lateDaysStatement(null, LATE_DAYS_AT_ONCE)]);
    const days = new Map<number, UnitTags[]>();
    for (const series of found) {
      const { site = '', unit = '' } = series.tags;
      for (const dayMs of timesOf(series)) {
        const units = days.get(dayMs);
        if (units === undefined) days.set(dayMs, [{ site, unit }]);
        else units.push({ site, unit });
      }
    }
    return days;
  }

  async #redoDay(dayMs: number, units: readonly UnitTags[], mask: number): Promise<number> {
    const days: readonly LateDay[] = units.map((unit) => ({ unit, dayMs }));
    await this.#inTurn(async () => this.#late.beginRedoing(days));
    const summed = overlap(daySpan(dayMs), { fromMs: 0, toMs: await this.#late.beforeMs() });
    if (summed !== null) await this.#sumSpan(summed, units, mask);
    return this.#inTurn(() => this.#late.endRedoing(days));
  }

  /** Days without readings are skipped; a reading that comes there now is late already. */
  async #advance(beforeMs: number, targetMs: number): Promise<void> {
    await this.#inTurn(async () => this.#late.closeBefore(targetMs));
    const units = await indexedUnits(this.#connection, this.#generation);
    const mask = await this.#mask();
    let atMs = beforeMs;
    let wasEmpty = beforeMs === 0;
    while (atMs < targetMs && !this.#isEnding) {
      if (wasEmpty) {
        const oldestMs = (await this.#oldestFrom(atMs)) ?? targetMs;
        atMs = Math.min(Math.floor(oldestMs / QUARTER_MS) * QUARTER_MS, targetMs);
      }
      const endMs = Math.min(this.#stepEnd(atMs, units !== null), targetMs);
      const before = this.#quarters;
      if (atMs < endMs) await this.#sumAll({ fromMs: atMs, toMs: endMs }, units, mask);
      wasEmpty = this.#quarters === before;
      await this.#inTurn(async () => {
        await this.#connection.write([summedLine(endMs)]);
        this.#late.advancedTo(endMs);
      });
      atMs = endMs;
    }
  }

  #stepEnd(atMs: number, hasList: boolean): number {
    return hasList ? daySpan(dayStart(atMs)).toMs : atMs + STEP_WITHOUT_LIST_MS;
  }

  async #sumAll(span: Span, units: readonly UnitTags[] | null, mask: number): Promise<void> {
    if (units === null) return this.#sumSpan(span, null, mask);
    const step = unitsTogether(span);
    for (let at = 0; at < units.length; at += step) {
      await this.#sumSpan(span, units.slice(at, at + step), mask);
    }
  }

  async #sumSpan(span: Span, units: readonly UnitTags[] | null, mask: number): Promise<void> {
    if (mask === 0) return;
    const [found = []] = await this.#connection.query([unitsRowsStatement(units, mask, span)]);
    const lines: string[] = [];
    for (const series of found) {
      const { site = '', unit = '' } = series.tags;
      const quarters = new QuarterLines({ site, unit }, mask);
      quarters.add(series);
      if (series.values.length >= MOST_ROWS) {
        const rest = { fromMs: (timesOf(series).at(-1) ?? span.toMs) + 1, toMs: span.toMs };
        const tags = { site, unit };
        await eachRowPage(this.#connection, tags, mask, rest, Infinity, (page, rows) =>
          quarters.add(page, rows),
        );
      }
      for (const line of quarters.lines()) lines.push(line);
    }
    await this.#connection.write(lines);
    this.#quarters += lines.length;
  }

  async #oldestFrom(fromMs: number): Promise<number | null> {
    const [[series] = []] = await this.#connection.query([oldestStatement(ALL_CHANNELS, fromMs)]);
    if (series === undefined) return null;
    return numberAt(series.values[0] ?? [], series.columns.indexOf('time'));
  }

  /** Asking for channels that nobody has costs as much as for others. */
  async #mask(): Promise<number> {
    return maskOf(await knownChannels(this.#connection));
  }
}

function unitsTogether({ fromMs, toMs }: Span): number {
  const few = Math.floor((USUAL_ROWS * MINUTE_MS) / (toMs - fromMs));
  return Math.max(1, Math.min(few, MOST_UNITS));
}
