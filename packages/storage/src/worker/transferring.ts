import type { Transferable } from 'node:worker_threads';

/**
 * A value that travels between threads with buffers that are moved, not copied. The sender must
 * not touch the buffers afterwards: they are empty for it.
 */
export class Transferring<T> {
  readonly value: T;
  readonly buffers: readonly Transferable[];

  constructor(value: T, buffers: readonly (Transferable | ArrayBufferLike)[]) {
    this.value = value;
    this.buffers = buffers.filter(isMovable);
  }
}

/**
 * Marks `buffers`, which are parts of `value`, as moved. For an argument of a worker's method or
 * its result. Buffers of `Buffer.from` may belong to a shared pool: use typed arrays of their own.
 */
export function transferring<T>(
  value: T,
  buffers: readonly (Transferable | ArrayBufferLike)[],
): Transferring<T> {
  return new Transferring(value, buffers);
}

/** Shared memory is seen by both threads as it is; there is nothing to move. */
function isMovable(buffer: Transferable | ArrayBufferLike): buffer is Transferable {
  return !(buffer instanceof SharedArrayBuffer);
}
