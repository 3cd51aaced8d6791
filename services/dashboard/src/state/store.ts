import { useEffect, useState } from 'preact/hooks';

export interface ReadableStore<T> {
  get(): T;
  /** Calls back after each change; returns a function that ends it. */
  subscribe(listener: () => void): () => void;
}

export interface Store<T> extends ReadableStore<T> {
  set(next: T): void;
}

/** One value that screens can watch. Values are replaced, never changed in place. */
export function createStore<T>(initial: T): Store<T> {
  let value = initial;
  const listeners = new Set<() => void>();
  return {
    get: () => value,
    set(next) {
      if (Object.is(next, value)) return;
      value = next;
      for (const listener of [...listeners]) listener();
    },
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}

/** The store's value, or what `select` takes from it; renders again only when that changes. */
export function useStore<T>(store: ReadableStore<T>): T;
export function useStore<T, S>(store: ReadableStore<T>, select: (value: T) => S): S;
export function useStore<T, S>(store: ReadableStore<T>, select?: (value: T) => S): T | S {
  const read = (): T | S => (select === undefined ? store.get() : select(store.get()));
  const [, setSeen] = useState<{ value: T | S }>({ value: read() });
  useEffect(() => {
    const look = (): void => {
      const value = read();
      setSeen((seen) => (Object.is(seen.value, value) ? seen : { value }));
    };
    look();
    return store.subscribe(look);
  });
  return read();
}
