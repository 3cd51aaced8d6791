/** 9999-12-31T23:59:59.999Z: RFC 3339 knows years of four digits only. */
const LAST_MS = 253_402_300_799_999;

/** 0000-01-01T00:00:00Z. */
const FIRST_MS = -62_167_219_200_000;

/**
 * A time as RFC 3339 writes it in UTC, with milliseconds only where there are any:
 * `2026-01-10T04:12:00Z`, `2026-01-10T04:12:00.250Z`.
 *
 * @param atMs milliseconds since 1970-01-01T00:00:00Z, year 0 to 9999.
 * @throws RangeError outside these years.
 */
export function rfc3339(atMs: number): string {
  if (!(atMs >= FIRST_MS && atMs <= LAST_MS)) {
    throw new RangeError(`${atMs} ms since 1970 lies outside the years 0 to 9999`);
  }
  return new Date(atMs).toISOString().replace('.000Z', 'Z');
}
