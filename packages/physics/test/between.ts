import fc from 'fast-check';

const STEPS = 2 ** 31 - 1;

/**
 * Numbers spread evenly from `low` to `high`, ends included. `fc.double` spreads over the
 * representations of numbers, so that from -50 to 80 nearly all it gives lie next to zero.
 */
export function between(low: number, high: number): fc.Arbitrary<number> {
  return fc
    .integer({ min: 0, max: STEPS })
    .map((step) => (step === STEPS ? high : low + ((high - low) * step) / STEPS));
}
