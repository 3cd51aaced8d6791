import type { InfluxConnection } from './influx-connection.ts';
import { summedStatement, type UnitTags } from './influxql.ts';
import { lateDayLine } from './quarter-lines.ts';
import { unitKey } from './span-parts.ts';
import { beforeMsIn } from './summed-up.ts';

/** Days that are remembered as marked; a forgotten one is marked again, which changes nothing. */
const MOST_REMEMBERED = 10_000;

/** A day of a unit that gets readings after its quarters were summed up. */
export interface LateDay {
  readonly unit: UnitTags;
  /** Start of the UTC day. */
  readonly dayMs: number;
}

/**
 * What the writer must know of the quarters: before a reading goes to a time that they are summed
 * up for, the server is told that the day lacks something. Not thread-safe by itself: every method
 * but `beforeMs` is to run in turn with the writes.
 */
export class LateDays {
  readonly #connection: InfluxConnection;
  readonly #marked = new Set<string>();
  /** Days that are being redone and have got nothing new meanwhile. */
  readonly #redoing = new Set<string>();
  #beforeMs: number | null = null;
  #closingMs = 0;
  /** False only when it is known that the server has no marked day. */
  mayHaveSome = true;

  constructor(connection: InfluxConnection) {
    this.#connection = connection;
  }

  /** How far quarters are summed up; asked of the server once. */
  async beforeMs(): Promise<number> {
    if (this.#beforeMs === null) {
      const [state = []] = await this.#connection.query([summedStatement()]);
      this.#beforeMs = Math.max(this.#beforeMs ?? 0, beforeMsIn(state));
    }
    return this.#beforeMs;
  }

  /** Readings before it are late: their quarters are summed up, or about to be. */
  async lateBeforeMs(): Promise<number> {
    return Math.max(await this.beforeMs(), this.#closingMs);
  }

  /** From now on readings before it are late. */
  closeBefore(beforeMs: number): void {
    this.#closingMs = Math.max(this.#closingMs, beforeMs);
  }

  /** The server has been told that quarters are summed up so far. */
  advancedTo(beforeMs: number): void {
    this.#beforeMs = Math.max(this.#beforeMs ?? 0, beforeMs);
  }

  /** To be called before readings of those days are written. */
  async mark(days: readonly LateDay[]): Promise<void> {
    for (const day of days) this.#redoing.delete(keyOf(day));
    const fresh = days.filter((day) => !this.#marked.has(keyOf(day)));
    if (fresh.length === 0) return;
    this.mayHaveSome = true;
    await this.#connection.write(fresh.map(({ unit, dayMs }) => lateDayLine(unit, dayMs, true)));
    if (this.#marked.size + fresh.length > MOST_REMEMBERED) this.#marked.clear();
    for (const day of fresh) this.#marked.add(keyOf(day));
  }

  /** Their quarters are summed up anew from now on. */
  beginRedoing(days: readonly LateDay[]): void {
    for (const day of days) {
      this.#marked.delete(keyOf(day));
      this.#redoing.add(keyOf(day));
    }
  }

  /** Their quarters are redone: takes the marks off, save where readings came meanwhile. */
  async endRedoing(days: readonly LateDay[]): Promise<number> {
    const done = days.filter((day) => this.#redoing.delete(keyOf(day)));
    await this.#connection.write(done.map(({ unit, dayMs }) => lateDayLine(unit, dayMs, false)));
    return done.length;
  }
}

function keyOf({ unit, dayMs }: LateDay): string {
  return `${unitKey(unit)}/${dayMs}`;
}
