import { elementAt } from './element-at.ts';
import { requireInside, requireNumber } from './ranges.ts';
import { orderedAt } from './selection.ts';

const MARKERS = 5;

/** Plain data, five markers at most: survives JSON. */
export interface P2State {
  /** Which quantile, above 0 and below 1. */
  readonly share: number;
  /** Values seen. */
  readonly count: number;
  /** Heights of the markers; the values themselves, sorted, while there are up to five. */
  readonly heights: readonly number[];
  /** How many values lie at or below each marker. */
  readonly places: readonly number[];
}

/**
 * An empty estimate of one quantile of a stream.
 *
 * Output: a state for `p2Step`.
 * Source: Jain & Chlamtac (1985), Comm. ACM 28, 1076-1085.
 * Errors: RangeError unless 0 < share < 1.
 */
export function p2Start(share: number): P2State {
  requireInside('share', share, 0, 1);
  return { share, count: 0, heights: [], places: [] };
}

/**
 * The estimate after one more value. Not mergeable, and without a guarantee: for smooth
 * distributions the share of values below it is within about 0.01 of the one asked for after a few
 * hundred values; a distribution with gaps or a changing one can put it further off.
 *
 * Output: a new state, some 0.1 us each.
 * Source: Jain & Chlamtac (1985), with their parabolic, else linear, adjustment.
 * Errors: RangeError unless value lies within 1e100.
 */
export function p2Step(state: P2State, value: number): P2State {
  requireNumber('value', value);
  const count = state.count + 1;
  if (count <= MARKERS) {
    const heights = [...state.heights, value].sort((a, b) => a - b);
    return { share: state.share, count, heights, places: heights.map((_, index) => index + 1) };
  }
  const heights = state.heights.slice();
  const places = state.places.slice();
  placeValue(heights, places, value);
  // Markers stand at 0, half of the share, the share, halfway to 1, and 1.
  adjust(heights, places, 1, 1 + ((count - 1) * state.share) / 2);
  adjust(heights, places, 2, 1 + (count - 1) * state.share);
  adjust(heights, places, 3, 1 + ((count - 1) * (1 + state.share)) / 2);
  return { share: state.share, count, heights, places };
}

/**
 * The quantile as estimated so far.
 *
 * Output: in the unit of the values; null without a value; up to five values it is exact.
 * Source: Jain & Chlamtac (1985).
 * Errors: none for a state of `p2Step`.
 */
export function p2Quantile(state: P2State): number | null {
  if (state.count === 0) return null;
  if (state.count <= MARKERS) {
    return orderedAt(Float64Array.from(state.heights), state.share * (state.count - 1));
  }
  return elementAt(state.heights, 2);
}

/** Moves the outer markers to the value if it lies outside; counts it for all markers above it. */
function placeValue(heights: number[], places: number[], value: number): void {
  if (value < elementAt(heights, 0)) heights[0] = value;
  if (value > elementAt(heights, MARKERS - 1)) heights[MARKERS - 1] = value;
  for (let marker = 1; marker < MARKERS; marker += 1) {
    const isAbove = marker === MARKERS - 1 || value < elementAt(heights, marker);
    if (isAbove) places[marker] = elementAt(places, marker) + 1;
  }
}

/** Moves one inner marker by a place when it is a place or more off where it should be. */
function adjust(heights: number[], places: number[], marker: number, wanted: number): void {
  const place = elementAt(places, marker);
  const below = elementAt(places, marker - 1);
  const above = elementAt(places, marker + 1);
  const off = wanted - place;
  const move = off >= 1 && above - place > 1 ? 1 : off <= -1 && below - place < -1 ? -1 : 0;
  if (move === 0) return;
  const height = elementAt(heights, marker);
  const low = elementAt(heights, marker - 1);
  const high = elementAt(heights, marker + 1);
  const rise = ((place - below + move) * (high - height)) / (above - place);
  const fall = ((above - place - move) * (height - low)) / (place - below);
  const parabolic = height + (move * (rise + fall)) / (above - below);
  const neighbour = move === 1 ? high : low;
  const distance = move === 1 ? above - place : place - below;
  const linear = height + (neighbour - height) / distance;
  heights[marker] = parabolic > low && parabolic < high ? parabolic : linear;
  places[marker] = place + move;
}
