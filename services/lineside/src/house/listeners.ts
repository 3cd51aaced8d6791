import type { Logger } from 'pino';

/** Those who want to hear of something. */
export class Listeners<News extends readonly unknown[]> {
  readonly #log: Pick<Logger, 'error'>;
  readonly #all = new Set<(...news: News) => void>();

  constructor(log: Pick<Logger, 'error'>) {
    this.#log = log;
  }

  /** Returns a function that ends it. */
  add(listener: (...news: News) => void): () => void {
    this.#all.add(listener);
    return () => {
      this.#all.delete(listener);
    };
  }

  /** One that fails keeps nothing from the others. */
  tell(...news: News): void {
    for (const listener of this.#all) {
      try {
        listener(...news);
      } catch (error) {
        this.#log.error({ err: error }, 'a listener on the house line failed');
      }
    }
  }
}
