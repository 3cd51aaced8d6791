import { elementAt } from './ordered.ts';

/**
 * A covariance as U D U', U with ones on its diagonal: stays positive whatever rounding does.
 * Plain data.
 */
export interface UdFactors {
  /** The diagonal D, above 0. */
  readonly diagonal: readonly number[];
  /** U above its diagonal, column by column: (0,1) (0,2) (1,2) (0,3) ... */
  readonly upper: readonly number[];
}

/**
 * The factors of a diagonal covariance.
 *
 * Source: definition.
 * Errors: none; the caller keeps the variances above 0.
 */
export function startFactors(variances: readonly number[]): UdFactors {
  const size = variances.length;
  return { diagonal: [...variances], upper: new Array((size * (size - 1)) / 2).fill(0) };
}

/**
 * The variance of `row` times the coefficients: row' U D U' row.
 *
 * Source: definition.
 * Errors: RangeError when the lengths differ.
 */
export function regressorVariance({ diagonal, upper }: UdFactors, row: readonly number[]): number {
  let sum = 0;
  for (let column = 0; column < diagonal.length; column += 1) {
    const projected = project(upper, row, column);
    sum += elementAt(diagonal, column) * projected * projected;
  }
  return sum;
}

/**
 * The covariance after an observation of variance `noise`, and the gain: how far a residual of 1
 * moves each coefficient.
 *
 * Source: Bierman (1977), section V.3.
 * Errors: RangeError when the lengths differ.
 */
export function factoredStep(
  factors: UdFactors,
  row: readonly number[],
  noise: number,
): { readonly factors: UdFactors; readonly gain: readonly number[] } {
  const diagonal = factors.diagonal.slice();
  const upper = factors.upper.slice();
  const gain = diagonal.slice();
  let total = noise;
  for (let column = 0; column < diagonal.length; column += 1) {
    const projected = project(factors.upper, row, column);
    const variance = elementAt(diagonal, column);
    const weighted = variance * projected;
    const before = total;
    total += projected * weighted;
    diagonal[column] = (variance * before) / total;
    gain[column] = weighted;
    const start = (column * (column - 1)) / 2;
    for (let above = 0; above < column; above += 1) {
      const old = elementAt(upper, start + above);
      const moved = elementAt(gain, above);
      upper[start + above] = old - (moved * projected) / before;
      gain[above] = moved + old * weighted;
    }
  }
  for (let index = 0; index < gain.length; index += 1) gain[index] = elementAt(gain, index) / total;
  return { factors: { diagonal, upper }, gain };
}

/**
 * The covariance when a share `keep` of the knowledge stays, no variance above `most`: without
 * that bound it would grow for ever while nothing new is seen.
 *
 * Source: exponential forgetting; the bound scales rows and columns, which keeps correlations.
 * Errors: RangeError when the lengths differ.
 */
export function forget(factors: UdFactors, keep: number, most: readonly number[]): UdFactors {
  const size = factors.diagonal.length;
  const diagonal = factors.diagonal.map((variance) => variance / keep);
  const shrink: number[] = [];
  let isBounded = true;
  for (let row = 0; row < size; row += 1) {
    const allowed = elementAt(most, row);
    const variance = varianceOf(factors.upper, diagonal, row);
    shrink.push(variance > allowed ? Math.sqrt(allowed / variance) : 1);
    if (variance > allowed) isBounded = false;
  }
  if (isBounded) return { diagonal, upper: factors.upper };
  const upper = factors.upper.slice();
  for (let column = 0; column < size; column += 1) {
    const scale = elementAt(shrink, column);
    diagonal[column] = elementAt(diagonal, column) * scale * scale;
    const start = (column * (column - 1)) / 2;
    for (let row = 0; row < column; row += 1) {
      upper[start + row] = (elementAt(upper, start + row) * elementAt(shrink, row)) / scale;
    }
  }
  return { diagonal, upper };
}

/** Column `column` of U times the row. */
function project(upper: readonly number[], row: readonly number[], column: number): number {
  const start = (column * (column - 1)) / 2;
  let sum = elementAt(row, column);
  for (let above = 0; above < column; above += 1) {
    sum += elementAt(upper, start + above) * elementAt(row, above);
  }
  return sum;
}

function varianceOf(upper: readonly number[], diagonal: readonly number[], row: number): number {
  let sum = elementAt(diagonal, row);
  for (let column = row + 1; column < diagonal.length; column += 1) {
    const entry = elementAt(upper, (column * (column - 1)) / 2 + row);
    sum += entry * entry * elementAt(diagonal, column);
  }
  return sum;
}
