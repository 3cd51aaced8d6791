/** Something that holds a file open. */
export interface OpenFile {
  close(): void;
}

/** Files by the start of their week; closes the one that was used longest ago. */
export class OpenFiles<F extends OpenFile> {
  readonly #most: number;
  /** Oldest use first. */
  readonly #files = new Map<number, F>();

  constructor(most: number) {
    this.#most = most;
  }

  /** The open file of the week, opened with `open` when it is not; null when that gives null. */
  use<R extends F | null>(startMs: number, open: () => R): F | R {
    const file: F | R = this.#files.get(startMs) ?? open();
    if (file === null) return file;
    this.#files.delete(startMs);
    this.#files.set(startMs, file);
    return file;
  }

  /** Closes what is beyond the limit. Files in use must not be asked for afterwards. */
  trim(): void {
    for (const startMs of this.#files.keys()) {
      if (this.#files.size <= this.#most) return;
      this.closeOne(startMs);
    }
  }

  closeOne(startMs: number): void {
    const file = this.#files.get(startMs);
    this.#files.delete(startMs);
    file?.close();
  }

  starts(): number[] {
    return [...this.#files.keys()];
  }

  files(): F[] {
    return [...this.#files.values()];
  }

  closeAll(): void {
    for (const startMs of this.starts()) this.closeOne(startMs);
  }
}
