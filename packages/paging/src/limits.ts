/** What one person is asked to bear, and how long a page gathers. */
export interface PagingLimits {
  /** Hand-overs to one person in any hour, repeats of a page among them. */
  readonly pagesPerHourMost: number;
  /** Emergencies in an hour that have a page of their own; the next ones share one. */
  readonly emergenciesAloneMost: number;
  /** The first page that emergencies share waits so long: a squall raises many within seconds. */
  readonly emergenciesGatherForMs: number;
  /** A page that others have joined is not handed over again before. */
  readonly againAfterMs: number;
  /** So long after the last one that joined, the next alarm begins a new page: another storm. */
  readonly joinWithinMs: number;
  /** A digest waits for the others of the same time of day. */
  readonly digestGathersForMs: number;
}

const MINUTE_MS = 60_000;

/** The hour over which pages are counted. */
export const HOUR_MS: number = 60 * MINUTE_MS;

/**
 * Common practice, no source, but for the ceiling: a page in 10 minutes is what IEC 62682 bears.
 */
export const DEFAULT_PAGING_LIMITS: PagingLimits = {
  pagesPerHourMost: 6,
  emergenciesAloneMost: 3,
  emergenciesGatherForMs: 5000,
  againAfterMs: 10 * MINUTE_MS,
  joinWithinMs: HOUR_MS,
  digestGathersForMs: MINUTE_MS,
};

/** Members of one page: two alarms of each of 2,500 units. What comes then begins the next page. */
export const MEMBERS_MOST = 5000;

/** A page of which all was told, and that nobody joined for a day, is not kept any longer. */
export const KEPT_FOR_MS: number = 24 * HOUR_MS;

/** Pages in an hour that are no emergencies': the rest is kept free for these, should they come. */
export function otherPagesMost({ pagesPerHourMost, emergenciesAloneMost }: PagingLimits): number {
  return pagesPerHourMost - emergenciesAloneMost - 1;
}

/** @throws RangeError for limits that leave no room for a page of some kind. */
export function checkLimits(limits: PagingLimits): void {
  for (const [name, value] of Object.entries(limits)) {
    if (!Number.isSafeInteger(value) || value < 0) {
      throw new RangeError(`${name} is ${value}; expected a whole number, 0 or more`);
    }
  }
  if (otherPagesMost(limits) >= 1) return;
  throw new RangeError(
    `pagesPerHourMost is ${limits.pagesPerHourMost}; it must exceed emergenciesAloneMost by 2 ` +
      'or more: one page for all further emergencies and one for everything else',
  );
}
