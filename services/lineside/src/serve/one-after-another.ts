/**
 * A question that many may ask at once, asked once at a time: whoever comes while one is under way
 * shares the next one, which begins after they came. So each answer is about a moment after its
 * question, and a thousand questioners cost what one costs.
 */
export function oneAfterAnother<T>(ask: () => Promise<T>): () => Promise<T> {
  let running: Promise<T> | null = null;
  let next: Promise<T> | null = null;
  const start = (): Promise<T> => {
    const started = ask().finally(() => {
      running = null;
    });
    running = started;
    return started;
  };
  return () => {
    if (running === null) return start();
    const after = (): Promise<T> => {
      next = null;
      return start();
    };
    next ??= running.then(after, after);
    return next;
  };
}
