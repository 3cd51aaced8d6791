/** Runs tasks with the same key one after the other, those with different keys side by side. */
export class OneAtATime {
  readonly #last = new Map<string, Promise<unknown>>();

  async run<T>(key: string, task: () => Promise<T>): Promise<T> {
    const before = this.#last.get(key) ?? Promise.resolve();
    const mine = before.then(task, task);
    const settled = mine.catch(() => undefined);
    this.#last.set(key, settled);
    try {
      return await mine;
    } finally {
      if (this.#last.get(key) === settled) this.#last.delete(key);
    }
  }
}
