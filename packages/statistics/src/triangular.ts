import { elementAt } from './ordered.ts';

/** What is left of a column after removing the others, as a share: below it is rounding. */
const COLLINEAR = 1e-13;

/** Orthogonalised rows: an upper triangle and what it leaves of the responses. */
export interface Triangle {
  readonly size: number;
  /** Row by row, `size * size`; zero below the diagonal. */
  readonly upper: Float64Array;
  /** The first `size` rotated responses. */
  readonly response: Float64Array;
}

/**
 * Reduces rows to an upper triangle by Householder reflections, in place.
 *
 * Output: the triangle R and Q'y of X = QR.
 * Source: Householder (1958); Golub (1965), Numer. Math. 7, 206-216.
 * Errors: RangeError when a column is a combination of those before it.
 */
export function triangulate(rows: Float64Array[], response: Float64Array, size: number): Triangle {
  const columns = rows[0] === undefined ? [] : columnNorms(rows, size);
  for (let column = 0; column < size; column += 1) {
    reflect(rows, response, column, size, elementAt(columns, column));
  }
  const upper = new Float64Array(size * size);
  for (let row = 0; row < size; row += 1) {
    const values = rows[row] ?? new Float64Array(size);
    for (let column = row; column < size; column += 1) {
      upper[row * size + column] = elementAt(values, column);
    }
  }
  return { size, upper, response: response.slice(0, size) };
}

/**
 * Solves `upper * x = response` from the last row up.
 *
 * Source: back substitution.
 * Errors: none; `triangulate` has refused a zero on the diagonal.
 */
export function solveTriangle({ size, upper, response }: Triangle): Float64Array {
  const solution = new Float64Array(size);
  for (let row = size - 1; row >= 0; row -= 1) {
    let rest = elementAt(response, row);
    for (let column = row + 1; column < size; column += 1) {
      rest -= elementAt(upper, row * size + column) * elementAt(solution, column);
    }
    solution[row] = rest / elementAt(upper, row * size + row);
  }
  return solution;
}

/**
 * The inverse of `upper' * upper`, row by row.
 *
 * Source: R^-1 (R^-1)'.
 * Errors: none; `triangulate` has refused a zero on the diagonal.
 */
export function inverseOfSquare(triangle: Triangle): Float64Array {
  const { size } = triangle;
  const columns = Array.from({ length: size }, (_, column) => {
    const response = new Float64Array(size);
    response[column] = 1;
    return solveTriangle({ ...triangle, response });
  });
  const inverse = new Float64Array(size * size);
  for (let row = 0; row < size; row += 1) {
    for (let column = 0; column < size; column += 1) {
      let sum = 0;
      for (const part of columns) sum += elementAt(part, row) * elementAt(part, column);
      inverse[row * size + column] = sum;
    }
  }
  return inverse;
}

function columnNorms(rows: readonly Float64Array[], size: number): number[] {
  return Array.from({ length: size }, (_, column) =>
    norm(rows.map((row) => elementAt(row, column))),
  );
}

function norm(values: Iterable<number>): number {
  let squares = 0;
  for (const value of values) squares += value * value;
  return Math.sqrt(squares);
}

function reflect(
  rows: Float64Array[],
  response: Float64Array,
  column: number,
  size: number,
  wholeNorm: number,
): void {
  const below = rows.slice(column);
  const vector = Float64Array.from(below, (row) => elementAt(row, column));
  const length = norm(vector);
  if (!(length > COLLINEAR * wholeNorm)) {
    throw new RangeError(
      `regressor ${column} must not be a combination of those before it; leave it out or give a ridge`,
    );
  }
  const lead = elementAt(vector, 0);
  const diagonal = lead > 0 ? -length : length;
  vector[0] = lead - diagonal;
  const scale = 1 / (length * (length + Math.abs(lead)));
  for (let other = column; other < size; other += 1) {
    let dot = 0;
    for (const [index, row] of below.entries()) {
      dot += elementAt(vector, index) * elementAt(row, other);
    }
    for (const [index, row] of below.entries()) {
      row[other] = elementAt(row, other) - scale * dot * elementAt(vector, index);
    }
  }
  let dot = 0;
  for (const [index, value] of vector.entries()) dot += value * elementAt(response, column + index);
  for (const [index, value] of vector.entries()) {
    response[column + index] = elementAt(response, column + index) - scale * dot * value;
  }
}
