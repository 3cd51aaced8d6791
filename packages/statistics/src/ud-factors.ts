/**
 * A covariance as U D U', U with ones on its diagonal: stays positive whatever rounding does.
 * Plain data. The loops here run for every reading: they index without checks, and the caller has
 * made sure that all lengths fit (`requireFactors`).
 */
export interface UdFactors {
  /** The diagonal D, above 0. */
  readonly diagonal: readonly number[];
  /** U above its diagonal, column by column: (0,1) (0,2) (1,2) (0,3) ... */
  readonly upper: readonly number[];
}

/** A row seen through the factors. */
export interface ProjectedRow {
  /** U' times the row. */
  readonly projected: readonly number[];
  /** row' U D U' row: the variance of the row times the coefficients. */
  readonly variance: number;
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
 * Throws unless the factors belong to `size` coefficients.
 *
 * Source: no formula.
 * Errors: RangeError with both sizes.
 */
export function requireFactors({ diagonal, upper }: UdFactors, size: number): void {
  if (diagonal.length !== size || upper.length !== (size * (size - 1)) / 2) {
    throw new RangeError(`state must be of ${size} regressors, got one of ${diagonal.length}`);
  }
}

/**
 * The row through U', and the variance of the row times the coefficients.
 *
 * Source: definition.
 * Errors: none; see `UdFactors`.
 */
export function projectRow({ diagonal, upper }: UdFactors, row: readonly number[]): ProjectedRow {
  const projected = row.slice();
  let variance = 0;
  let entry = 0;
  for (let column = 0; column < diagonal.length; column += 1) {
    let sum = row[column] as number;
    for (let above = 0; above < column; above += 1) {
      sum += (upper[entry] as number) * (row[above] as number);
      entry += 1;
    }
    projected[column] = sum;
    variance += (diagonal[column] as number) * sum * sum;
  }
  return { projected, variance };
}

/**
 * The covariance after an observation of variance `noise`, and the gain: how far a residual of 1
 * moves each coefficient.
 *
 * Source: Bierman (1977), section V.3.
 * Errors: none; see `UdFactors`.
 */
export function factoredStep(
  factors: UdFactors,
  { projected }: ProjectedRow,
  noise: number,
): { readonly factors: UdFactors; readonly gain: readonly number[] } {
  const diagonal = factors.diagonal.slice();
  const upper = factors.upper.slice();
  const gain = factors.diagonal.slice();
  let total = noise;
  let entry = 0;
  for (let column = 0; column < diagonal.length; column += 1) {
    const through = projected[column] as number;
    const variance = diagonal[column] as number;
    const weighted = variance * through;
    const before = total;
    total += through * weighted;
    diagonal[column] = variance * (before / total);
    gain[column] = weighted;
    const share = through / before;
    for (let above = 0; above < column; above += 1) {
      const old = upper[entry] as number;
      const moved = gain[above] as number;
      upper[entry] = old - moved * share;
      gain[above] = moved + old * weighted;
      entry += 1;
    }
  }
  for (let index = 0; index < gain.length; index += 1)
    gain[index] = (gain[index] as number) / total;
  return { factors: { diagonal, upper }, gain };
}

/**
 * The covariance when a share `keep` of the knowledge stays, no variance above `most`: without
 * that bound it would grow for ever while nothing new is seen.
 *
 * Source: exponential forgetting; the bound scales rows and columns, which keeps correlations.
 * Errors: none; see `UdFactors`.
 */
export function forget(factors: UdFactors, keep: number, most: readonly number[]): UdFactors {
  const size = factors.diagonal.length;
  const diagonal = factors.diagonal.slice();
  for (let index = 0; index < size; index += 1) {
    diagonal[index] = (diagonal[index] as number) / keep;
  }
  for (let row = 0; row < size; row += 1) {
    if (varianceOf(factors.upper, diagonal, row) > (most[row] as number)) {
      return bounded({ diagonal, upper: factors.upper }, most);
    }
  }
  return { diagonal, upper: factors.upper };
}

function bounded(factors: UdFactors, most: readonly number[]): UdFactors {
  const shrink = most.map((allowed, row) => {
    const variance = varianceOf(factors.upper, factors.diagonal, row);
    return variance > allowed ? Math.sqrt(allowed / variance) : 1;
  });
  const diagonal = factors.diagonal.slice();
  const upper = factors.upper.slice();
  let entry = 0;
  for (let column = 0; column < diagonal.length; column += 1) {
    const scale = shrink[column] as number;
    diagonal[column] = (diagonal[column] as number) * scale * scale;
    for (let row = 0; row < column; row += 1) {
      upper[entry] = ((upper[entry] as number) * (shrink[row] as number)) / scale;
      entry += 1;
    }
  }
  return { diagonal, upper };
}

function varianceOf(upper: readonly number[], diagonal: readonly number[], row: number): number {
  let sum = diagonal[row] as number;
  for (let column = row + 1; column < diagonal.length; column += 1) {
    const entry = upper[(column * (column - 1)) / 2 + row] as number;
    sum += entry * entry * (diagonal[column] as number);
  }
  return sum;
}
