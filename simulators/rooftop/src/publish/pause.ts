/** Resolves after so long, or at once when the signal aborts. */
export function pause(forMs: number, signal: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    if (signal.aborted) {
      resolve();
      return;
    }
    const finish = (): void => {
      clearTimeout(timer);
      signal.removeEventListener('abort', finish);
      resolve();
    };
    const timer = setTimeout(finish, forMs);
    signal.addEventListener('abort', finish);
  });
}
