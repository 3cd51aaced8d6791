/** A share of cases with its 95 % Wilson score interval. */
export interface Proportion {
  readonly hits: number;
  readonly of: number;
  /** Bounds of the true share, 0 to 1; 0 and 1 when there was no case. */
  readonly low: number;
  readonly high: number;
}

/** The normal deviate that leaves 2.5 % on each side. */
const DEVIATE_95 = 1.959964;

/**
 * `hits` of `of` cases with the 95 % score interval of Wilson (1927), without continuity
 * correction.
 *
 * @throws RangeError unless 0 <= hits <= of, both whole.
 */
export function proportion(hits: number, of: number): Proportion {
  if (!(Number.isInteger(hits) && Number.isInteger(of) && hits >= 0 && hits <= of)) {
    throw new RangeError(`${hits} hits of ${of} cases is no proportion`);
  }
  if (of === 0) return { hits, of, low: 0, high: 1 };
  const square = DEVIATE_95 * DEVIATE_95;
  const centre = hits + square / 2;
  const half = DEVIATE_95 * Math.sqrt((hits * (of - hits)) / of + square / 4);
  return {
    hits,
    of,
    low: hits === 0 ? 0 : (centre - half) / (of + square),
    high: hits === of ? 1 : (centre + half) / (of + square),
  };
}

/** The proportion of `cases` that `isHit` says yes to. */
export function proportionOf<Case>(
  cases: readonly Case[],
  isHit: (one: Case) => boolean,
): Proportion {
  return proportion(cases.filter(isHit).length, cases.length);
}
