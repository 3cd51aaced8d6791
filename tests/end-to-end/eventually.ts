/**
 * Asks again until the answer satisfies, for outside effects that have no event to wait for.
 * Throws with the last answer when it takes too long.
 */
export async function eventually<T>(
  ask: () => Promise<T>,
  satisfies: (answer: T) => boolean,
  { withinMs = 10_000, everyMs = 50 } = {},
): Promise<T> {
  const startedAt = performance.now();
  for (;;) {
    const answer = await ask();
    if (satisfies(answer)) return answer;
    if (performance.now() - startedAt > withinMs) {
      throw new Error(`not within ${withinMs} ms; last answer: ${JSON.stringify(answer)}`);
    }
    await new Promise((resolve) => setTimeout(resolve, everyMs));
  }
}
