import {
  QUARANTINE_CODES,
  type QuarantineCode,
  quoted,
  type Refusal,
  refusal,
} from './quarantine-codes.ts';

interface Drop {
  count: number;
  readonly first: string;
}

const CODES = Object.keys(QUARANTINE_CODES) as QuarantineCode[];

/** The records of one pack that were dropped alone, summed up as one refusal. */
export class PackDrops {
  // Nearly every pack needs neither.
  #byCode: Map<QuarantineCode, Drop> | null = null;
  #refusedTimes: Set<number> | null = null;

  /** `recordIndex` counts from 0; `detail` says what was wrong, with the value. */
  add(code: QuarantineCode, recordIndex: number, name: string, detail: () => string): void {
    this.#byCode ??= new Map();
    const drop = this.#byCode.get(code);
    if (drop !== undefined) drop.count += 1;
    else
      this.#byCode.set(code, { count: 1, first: `${recordWords(recordIndex, name)}, ${detail()}` });
  }

  addTime(atMs: number): void {
    this.#refusedTimes ??= new Set();
    this.#refusedTimes.add(atMs);
  }

  /** Distinct event times, in ms, that were out of range. */
  get refusedTimes(): number {
    return this.#refusedTimes?.size ?? 0;
  }

  /** The newest of them; null when there was none. */
  get newestRefusedMs(): number | null {
    let newest: number | null = null;
    if (this.#refusedTimes === null) return null;
    for (const atMs of this.#refusedTimes) if (newest === null || atMs > newest) newest = atMs;
    return newest;
  }

  /** The most important cause with its first record, and how many records each cause took. */
  summary(recordCount: number): Refusal | null {
    const byCode = this.#byCode;
    if (byCode === null) return null;
    const causes = CODES.flatMap((code) => {
      const drop = byCode.get(code);
      return drop === undefined ? [] : [{ code, ...drop }];
    });
    const [first, ...others] = causes;
    if (first === undefined) return null;
    const dropped = causes.reduce((sum, cause) => sum + cause.count, 0);
    const also = others.map((cause) => `${cause.count} ${QUARANTINE_CODES[cause.code]}`);
    const more = also.length === 0 ? '' : ` (also ${also.join(', ')})`;
    const count = `${dropped} of ${recordCount} records dropped${more}`;
    return refusal(first.code, `${first.first}; ${count}`);
  }
}

/** How a reason names a record: its place counted from 1, and its name in the pack. */
export function recordWords(recordIndex: number, name: string): string {
  const place = `record ${recordIndex + 1}`;
  return name === '' ? place : `${place} ${quoted(name)}`;
}
