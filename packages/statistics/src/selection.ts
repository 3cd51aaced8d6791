/** Stretches longer than this are narrowed by a sample first. */
const SAMPLED_LENGTH = 600;

/**
 * What would stand at a fractional place, counted from 0, if the values were sorted; linear
 * between two. Reorders the values, and takes time in proportion to their number, not more.
 *
 * Output: in the unit of the values.
 * Source: Floyd & Rivest (1975), Algorithm 489 SELECT, Comm. ACM 18, 173.
 * Errors: RangeError unless `0 <= place <= length - 1`.
 */
export function orderedAt(values: Float64Array, place: number): number {
  if (!(place >= 0 && place <= values.length - 1)) {
    throw new RangeError(`place must be 0 to ${values.length - 1}, got ${place}`);
  }
  const below = Math.floor(place);
  select(values, 0, values.length - 1, below);
  const low = values[below] as number;
  const share = place - below;
  if (share === 0) return low;
  let high = values[below + 1] as number;
  for (let index = below + 2; index < values.length; index += 1) {
    high = Math.min(high, values[index] as number);
  }
  return low * (1 - share) + high * share;
}

/**
 * The median of values that may be reordered.
 *
 * Output: in the unit of the values.
 * Source: definition; see `orderedAt`.
 * Errors: RangeError without values.
 */
export function medianInPlace(values: Float64Array): number {
  return orderedAt(values, (values.length - 1) / 2);
}

/** Afterwards the value at `place` is in order: none before it is larger, none after smaller. */
function select(values: Float64Array, from: number, to: number, place: number): void {
  let left = from;
  let right = to;
  while (right > left) {
    if (right - left > SAMPLED_LENGTH) {
      const [low, high] = sampleAround(left, right, place);
      select(values, low, high, place);
    }
    const end = partition(values, left, right, place);
    if (end <= place) left = end + 1;
    if (place <= end) right = end - 1;
  }
}

/** A short stretch that very likely holds the value which belongs at `place`. */
function sampleAround(left: number, right: number, place: number): [number, number] {
  const count = right - left + 1;
  const rank = place - left + 1;
  const log = Math.log(count);
  const size = 0.5 * Math.exp((2 * log) / 3);
  const spread = 0.5 * Math.sqrt((log * size * (count - size)) / count);
  const shift = rank < count / 2 ? -spread : spread;
  return [
    Math.max(left, Math.floor(place - (rank * size) / count + shift)),
    Math.min(right, Math.floor(place + ((count - rank) * size) / count + shift)),
  ];
}

/** Splits a stretch at the value that stands at `place`; returns where that value came to lie. */
function partition(values: Float64Array, left: number, right: number, place: number): number {
  const pivot = values[place] as number;
  let low = left;
  let high = right;
  swap(values, left, place);
  if ((values[right] as number) > pivot) swap(values, left, right);
  while (low < high) {
    swap(values, low, high);
    low += 1;
    high -= 1;
    while ((values[low] as number) < pivot) low += 1;
    while ((values[high] as number) > pivot) high -= 1;
  }
  if (values[left] === pivot) swap(values, left, high);
  else {
    high += 1;
    swap(values, high, right);
  }
  return high;
}

function swap(values: Float64Array, one: number, other: number): void {
  const kept = values[one] as number;
  values[one] = values[other] as number;
  values[other] = kept;
}
