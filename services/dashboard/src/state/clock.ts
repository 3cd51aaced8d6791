import { createStore, useStore } from './store.ts';

/** How often 'n min ago' is said anew. Ages are in minutes, so more often would show nothing. */
const TICK_MS = 15_000;

const clock = createStore(Date.now());
setInterval(() => clock.set(Date.now()), TICK_MS);
document.addEventListener('visibilitychange', () => clock.set(Date.now()));

/** The wall clock of this browser, epoch ms, renewed every 15 s. */
export function useNow(): number {
  return useStore(clock);
}
