import type { Simulated } from './simulate.ts';

/** A failed run in words: its seed, what does not hold, and the last things that happened. */
export function reportOf({ seed, failures, troubles, trace }: Simulated): string {
  const again = `npm run bench -- simulate --from ${seed} --seeds 1`;
  return [
    `seed ${seed} fails (again: ${again})`,
    ...failures.slice(0, 20).map((words) => `  ${words}`),
    `  troubles ${troubles}`,
    ...trace.map((line) => `    ${line}`),
  ].join('\n');
}
