import { statfs } from 'node:fs/promises';
import type { Trouble } from '@lineside/ingest';
import type { Logger } from 'pino';
import { Gauge, type Registry } from 'prom-client';

const LOOK_EVERY_MS = 15_000;

/** Looks that a rate is taken from: a day of them. */
const MOST_LOOKS = 5_760;

/** Logs that are folded into their files come and go by a hundred megabytes within an hour. */
const LEAST_SPAN_MS = 6 * 3_600_000;

/** Below it a day of 1,000 units at a reading a minute does not fit any more. */
const LEAST_FREE_BYTES: number = 512 * 1024 * 1024;

const MS_PER_DAY = 86_400_000;

interface Look {
  readonly atMs: number;
  readonly freeBytes: number;
}

/**
 * Days until there is no space, at the rate of the looks; infinite while space grows, null before
 * there are looks over six hours.
 */
export function daysUntilFull(looks: readonly Look[]): number | null {
  const first = looks[0];
  const last = looks.at(-1);
  if (first === undefined || last === undefined) return null;
  const spanMs = last.atMs - first.atMs;
  if (spanMs < LEAST_SPAN_MS) return null;
  const bytesPerMs = (first.freeBytes - last.freeBytes) / spanMs;
  return bytesPerMs <= 0 ? Infinity : last.freeBytes / bytesPerMs / MS_PER_DAY;
}

export interface DiskWatchParts {
  readonly folder: string;
  readonly metrics: Registry;
  readonly log: Logger;
  readonly clock: () => number;
}

/** Looks at the space that is left for the data folder. */
export class DiskWatch {
  readonly #parts: DiskWatchParts;
  readonly #looks: Look[] = [];
  #timer: NodeJS.Timeout | null = null;
  #isLow = false;

  constructor(parts: DiskWatchParts) {
    this.#parts = parts;
    this.#register(parts.metrics);
  }

  async start(): Promise<void> {
    await this.#look();
    this.#timer = setInterval(() => void this.#look(), LOOK_EVERY_MS).unref();
  }

  stop(): void {
    if (this.#timer !== null) clearInterval(this.#timer);
  }

  troubles(): readonly Trouble[] {
    return this.#isLow ? [{ part: 'records', reason: this.#words() }] : [];
  }

  async #look(): Promise<void> {
    const { folder, clock, log } = this.#parts;
    const freeBytes = await freeBytesOf(folder);
    if (freeBytes === null) return;
    this.#looks.push({ atMs: clock(), freeBytes });
    if (this.#looks.length > MOST_LOOKS) this.#looks.shift();
    const isLow = freeBytes < LEAST_FREE_BYTES;
    if (isLow && !this.#isLow) log.warn({ folder, freeBytes }, this.#words());
    if (!isLow && this.#isLow) log.info({ folder, freeBytes }, 'there is room on the disk again');
    this.#isLow = isLow;
  }

  #words(): string {
    const free = Math.floor((this.#looks.at(-1)?.freeBytes ?? 0) / 1024 / 1024);
    return (
      `only ${free} MiB are free for the data folder: make room, or lower ` +
      'LINESIDE_RETENTION_DAYS; when it is full, nothing is acknowledged until there is room'
    );
  }

  #register(metrics: Registry): void {
    const { folder } = this.#parts;
    const looks = this.#looks;
    new Gauge({
      name: 'lineside_disk_free_bytes',
      help:
        'Space left for the data folder. Worry below 1 GiB; below 512 MiB the health is degraded, ' +
        'at 0 nothing is acknowledged.',
      registers: [metrics],
      async collect() {
        this.set((await freeBytesOf(folder)) ?? Number.NaN);
      },
    });
    new Gauge({
      name: 'lineside_disk_days_left',
      help:
        'Days until the disk of the data folder is full at the rate of the last day; NaN in the ' +
        'first six hours, +Inf while space grows. Worry below 14.',
      registers: [metrics],
      collect() {
        this.set(daysUntilFull(looks) ?? Number.NaN);
      },
    });
  }
}

/** Null where it cannot be asked for. */
async function freeBytesOf(folder: string): Promise<number | null> {
  try {
    const { bavail, bsize } = await statfs(folder);
    return bavail * bsize;
  } catch {
    return null;
  }
}
