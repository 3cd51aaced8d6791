/** Half open: from included, to excluded. Event time, milliseconds since 1970. */
export interface FiguresWindow {
  readonly fromMs: number;
  readonly toMs: number;
}

/** A year and a day of leap; longer windows hide what changed within them. */
export const FIGURES_WINDOW_MOST_MS: number = 366 * 86_400_000;

export const DAY_MS = 86_400_000;
export const SPAN_MS = 600_000;

/** @throws RangeError unless it is a window of whole ms, not empty and not too long. */
export function checkWindow({ fromMs, toMs }: FiguresWindow): void {
  if (!(Number.isSafeInteger(fromMs) && Number.isSafeInteger(toMs) && fromMs < toMs)) {
    throw new RangeError(`the window is [${fromMs}, ${toMs}); hand in whole ms, from before to`);
  }
  if (toMs - fromMs > FIGURES_WINDOW_MOST_MS) {
    throw new RangeError(`the window has ${toMs - fromMs} ms; ask for 366 days at most`);
  }
}

export function isIn({ fromMs, toMs }: FiguresWindow, atMs: number): boolean {
  return fromMs <= atMs && atMs < toMs;
}

/** How many of the times fall into each stretch of `lengthMs`, counted from `originMs`. */
export function countsByStretch(
  timesMs: readonly number[],
  originMs: number,
  lengthMs: number,
): ReadonlyMap<number, number> {
  const counts = new Map<number, number>();
  for (const atMs of timesMs) {
    const stretch = Math.floor((atMs - originMs) / lengthMs);
    counts.set(stretch, (counts.get(stretch) ?? 0) + 1);
  }
  return counts;
}

export function highest(counts: ReadonlyMap<number, number>): number {
  let most = 0;
  for (const count of counts.values()) most = Math.max(most, count);
  return most;
}
