import { elementAt } from './element-at.ts';

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
 * Reduces the columns of a matrix to an upper triangle by Householder reflections, in place.
 *
 * Output: the triangle R and Q'y of X = QR.
 * Source: Householder (1958); Golub (1965), Numer. Math. 7, 206-216.
 * Errors: RangeError when a column is a combination of those before it.
 */
export function triangulate(columns: readonly Float64Array[], response: Float64Array): Triangle {
  const size = columns.length;
  const norms = columns.map(norm);
  const upper = new Float64Array(size * size);
  for (const [index, column] of columns.entries()) {
    const vector = column.slice(index);
    const length = norm(vector);
    if (!(length > COLLINEAR * elementAt(norms, index))) {
      throw new RangeError(
        `regressor ${index} must not be a combination of those before it; leave it out or give a ridge`,
      );
    }
    const lead = elementAt(vector, 0);
    const signed = lead > 0 ? -length : length;
    vector[0] = lead - signed;
    const scale = 1 / (length * (length + Math.abs(lead)));
    for (const other of [...columns.slice(index), response]) {
      reflect(other.subarray(index), vector, scale);
    }
    for (let row = 0; row <= index; row += 1) upper[row * size + index] = elementAt(column, row);
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

function norm(values: Float64Array): number {
  let squares = 0;
  for (let index = 0; index < values.length; index += 1) {
    const value = values[index] as number;
    squares += value * value;
  }
  return Math.sqrt(squares);
}

/** Takes from `values` their part along `vector`, twice: a mirror image. */
function reflect(values: Float64Array, vector: Float64Array, scale: number): void {
  let dot = 0;
  for (let index = 0; index < vector.length; index += 1) {
    dot += (vector[index] as number) * (values[index] as number);
  }
  const step = scale * dot;
  for (let index = 0; index < vector.length; index += 1) {
    values[index] = (values[index] as number) - step * (vector[index] as number);
  }
}
