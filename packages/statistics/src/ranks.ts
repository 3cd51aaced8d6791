import { elementAt } from './element-at.ts';

/** Ranks of values, and how often each tied value occurs. */
export interface Ranking {
  /** Rank of each value in the order given, counted from 1; tied values share their mean rank. */
  readonly ranks: readonly number[];
  /** Sizes of the groups of equal values, only groups of two and more. */
  readonly ties: readonly number[];
}

/**
 * Ranks with ties shared.
 *
 * Output: ranks 1 to n.
 * Source: definition of mid-ranks (Kruskal & Wallis 1952).
 * Errors: none; the caller has checked that all values are finite.
 */
export function rankWithTies(values: readonly number[]): Ranking {
  const order = values.map((_, index) => index);
  order.sort((a, b) => elementAt(values, a) - elementAt(values, b));
  const ranks = new Array<number>(values.length).fill(0);
  const ties: number[] = [];
  let start = 0;
  while (start < order.length) {
    const value = elementAt(values, elementAt(order, start));
    let end = start + 1;
    while (end < order.length && elementAt(values, elementAt(order, end)) === value) end += 1;
    // Places start..end-1 hold ranks start+1..end.
    for (let place = start; place < end; place += 1) {
      ranks[elementAt(order, place)] = (start + 1 + end) / 2;
    }
    if (end - start > 1) ties.push(end - start);
    start = end;
  }
  return { ranks, ties };
}
