import type { Reading } from '@lineside/readings';
import type { TelemetryStore, UnitRef } from '@lineside/storage';
import { END_OF_TIMES_MS } from '../judging/all-times.ts';

/** Readings fetched at once. */
const PAGE_READINGS = 2_000;

/** Reads one unit's stored readings in ascending event time, page by page. */
export class StoredReadings {
  readonly ref: UnitRef;
  readonly #telemetry: Pick<TelemetryStore, 'readings'>;
  readonly #toMs: number;
  #page: readonly Reading[] = [];
  #used = 0;
  #fromMs: number;
  #ended = false;

  /** Readings from `fromMs` on, and before `toMs`. */
  constructor(
    telemetry: Pick<TelemetryStore, 'readings'>,
    ref: UnitRef,
    fromMs: number,
    toMs: number = END_OF_TIMES_MS,
  ) {
    this.#toMs = toMs;
    this.#telemetry = telemetry;
    this.ref = ref;
    this.#fromMs = fromMs;
  }

  /** Event time of the next reading, null at the end. */
  async nextAtMs(): Promise<number | null> {
    if (this.#used >= this.#page.length && !this.#ended) {
      await this.#fetch();
    }
    return this.#page[this.#used]?.atMs ?? null;
  }

  /** The next readings before `toMs`, at most a page; empty when there are none. */
  async takeBefore(toMs: number): Promise<readonly Reading[]> {
    await this.nextAtMs();
    let end = this.#used;
    while (end < this.#page.length && (this.#page[end]?.atMs ?? toMs) < toMs) {
      end += 1;
    }
    const taken = this.#page.slice(this.#used, end);
    this.#used = end;
    return taken;
  }

  async #fetch(): Promise<void> {
    const { site, unit } = this.ref;
    this.#page = await this.#telemetry.readings({
      site,
      unit,
      fromMs: this.#fromMs,
      toMs: Math.max(this.#toMs, this.#fromMs),
      limit: PAGE_READINGS,
    });
    this.#used = 0;
    const last = this.#page.at(-1);
    this.#ended = last === undefined || this.#page.length < PAGE_READINGS;
    this.#fromMs = last === undefined ? this.#fromMs : last.atMs + 1;
  }
}
