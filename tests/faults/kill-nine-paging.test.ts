/**
 * The promise of the outbox: however often the server is killed while it pages a storm, no page is
 * lost, and what comes twice comes under its own key. `npm run bench -- paging-kills` does it a
 * hundred times.
 */
import { expect, it } from 'vitest';
import { killsWhilePaging } from './kills-while-paging.ts';

const KILLS = 10;

/** A linear congruential generator (Numerical Recipes, from memory): the same moments each time. */
function moments(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 1_664_525 + 1_013_904_223) % 2 ** 32;
    return state / 2 ** 32;
  };
}

it(`${KILLS} kills while a storm is paged lose no page and repeat only under the same key`, {
  timeout: 180_000,
}, async () => {
  const { faults, alarms, pages } = await killsWhilePaging(KILLS, moments(7));
  expect(faults).toEqual([]);
  expect(alarms).toBe(40);
  expect(pages).toBeGreaterThanOrEqual(40);
});
