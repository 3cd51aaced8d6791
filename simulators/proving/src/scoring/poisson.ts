/** A rate of rare events with exact 95 % limits. */
export interface Rate {
  readonly count: number;
  readonly unitYears: number;
  /** Events a unit-year; null when nothing was observed. */
  readonly perUnitYear: number | null;
  readonly low: number;
  readonly high: number;
}

const TAIL = 0.025;
const HALVINGS = 60;

/**
 * `count` events in `unitYears` with the exact 95 % limits of a Poisson rate (F. Garwood,
 * Biometrika 28 (1936) 437-442): those means for which the count would lie in the outer 2.5 %.
 *
 * @throws RangeError unless `count` is whole and not below 0, `unitYears` not below 0.
 */
export function poissonRate(count: number, unitYears: number): Rate {
  if (!(Number.isInteger(count) && count >= 0 && unitYears >= 0)) {
    throw new RangeError(`${count} events in ${unitYears} unit-years are no rate`);
  }
  if (unitYears === 0) return { count, unitYears, perUnitYear: null, low: 0, high: Infinity };
  const low = count === 0 ? 0 : meanWhere((mean) => 1 - atMost(count - 1, mean) < TAIL, count);
  const high = meanWhere((mean) => atMost(count, mean) > TAIL, count);
  return {
    count,
    unitYears,
    perUnitYear: count / unitYears,
    low: low / unitYears,
    high: high / unitYears,
  };
}

/** Largest mean for which `below` holds; it holds for small means and not for large ones. */
function meanWhere(below: (mean: number) => boolean, count: number): number {
  let from = 0;
  let to = count + 10 * Math.sqrt(count + 1) + 10;
  for (let round = 0; round < HALVINGS; round += 1) {
    const middle = (from + to) / 2;
    if (below(middle)) from = middle;
    else to = middle;
  }
  return from;
}

/** Probability of at most `count` events; by logarithms, so that a large mean does not vanish. */
function atMost(count: number, mean: number): number {
  if (mean === 0) return 1;
  let logTerm = -mean;
  let sum = Math.exp(logTerm);
  for (let events = 1; events <= count; events += 1) {
    logTerm += Math.log(mean / events);
    sum += Math.exp(logTerm);
  }
  return Math.min(1, sum);
}
