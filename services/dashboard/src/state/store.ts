import { useEffect, useRef, useState } from 'preact/hooks';

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
  const newestSelect = useRef(select);
  newestSelect.current = select;
  const read = (): T | S => {
    const chosen = newestSelect.current;
    return chosen === undefined ? store.get() : chosen(store.get());
  };
  const shown = useRef<T | S>(read());
  shown.current = read();
  const [, renderAgain] = useState({});
  useEffect(() => {
    const look = (): void => {
      if (!Object.is(read(), shown.current)) renderAgain({});
    };
    look();
    return store.subscribe(look);
  }, [store]);
  return shown.current;
}
