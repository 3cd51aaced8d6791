import { createStore, type ReadableStore } from '../state/store.ts';
import { formatRoute, parseRoute, type Route } from './route.ts';

const route = createStore<Route>(parseRoute(location.hash));

addEventListener('hashchange', () => {
  const before = route.get();
  const now = parseRoute(location.hash);
  route.set(now);
  if (before.screen !== now.screen) scrollTo(0, 0);
});

export const currentRoute: ReadableStore<Route> = route;

/** Goes to a screen. `replace` leaves no step behind for the back button. */
export function goTo(next: Route, how: 'push' | 'replace' = 'push'): void {
  const address = formatRoute(next);
  if (how === 'replace') location.replace(address);
  else location.assign(address);
}
