import { vi } from 'vitest';

// Sockets and threads are slow on a busy machine; a wait that succeeds costs nothing.
vi.setConfig({ testTimeout: 30_000 });

/** Waits until the check passes, at most 15 s. */
export function eventually<T>(check: () => T | Promise<T>): Promise<T> {
  return vi.waitFor(check, { timeout: 15_000, interval: 10 });
}
