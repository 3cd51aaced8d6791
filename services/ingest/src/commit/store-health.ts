import { StoreError } from '@lineside/storage';
import type { Logger } from 'pino';
import type { PartState } from '../ingest.ts';

const OK: PartState = { state: 'ok', reason: null };

/** Whether one store takes what it is given, in words; logs once per change. */
export class StoreHealth {
  readonly #name: string;
  readonly #log: Logger;
  readonly #onFailure: () => void;
  #state: PartState = OK;

  /** @param onFailure called at each write that was refused. */
  constructor(name: string, log: Logger, onFailure: () => void = () => {}) {
    this.#name = name;
    this.#log = log;
    this.#onFailure = onFailure;
  }

  get state(): PartState {
    return this.#state;
  }

  succeeded(): void {
    if (this.#state.state !== 'ok') {
      this.#log.info(`${this.#name} store takes writes again`);
      this.#state = OK;
    }
  }

  failed(error: unknown): void {
    this.#onFailure();
    const reason = failureInWords(error);
    if (this.#state.reason !== reason) {
      this.#log.error({ err: error }, `${this.#name} store refuses writes: ${reason}`);
    }
    this.#state = { state: 'down', reason };
  }
}

function failureInWords(error: unknown): string {
  if (error instanceof StoreError && error.code === 'STORE_FULL') {
    return `disk full: ${error.message}; acknowledgements are withheld until there is room`;
  }
  const message = error instanceof Error ? error.message : String(error);
  return `not available: ${message}; tried again until it answers`;
}
