import { normalQuantile } from '@lineside/statistics';

/** Repeatable uniform numbers above 0 and below 1 (mulberry32, public domain). */
export function uniformNumbers(count: number, seed: number): number[] {
  let state = seed >>> 0;
  return Array.from({ length: count }, () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return (((mixed ^ (mixed >>> 14)) >>> 0) + 0.5) / 2 ** 32;
  });
}

/** Repeatable independent standard normal numbers. */
export function normalNoise(count: number, seed: number): number[] {
  return uniformNumbers(count, seed).map(normalQuantile);
}
