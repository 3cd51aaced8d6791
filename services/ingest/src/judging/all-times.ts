/** Event times end with the year 9999, where the stores' calendars end. */
export const END_OF_TIMES_MS: number = Date.UTC(10_000, 0, 1);
