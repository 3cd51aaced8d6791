/** The methods of a part of the port as they run inside the worker: results, not promises. */
export type Synchronous<T> = {
  readonly [K in keyof T]: T[K] extends (...args: infer A) => Promise<infer R>
    ? (...args: A) => R
    : never;
};
