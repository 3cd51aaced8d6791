import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/**
 * Files that must be gone at the end, also when the process is told to stop. They lie in the
 * system's temporary folder (TMPDIR), or where `adopt` says.
 */
export class TemporaryFiles {
  readonly #adopted: Set<string> = new Set();
  readonly #onSignal = (signal: NodeJS.Signals): void => {
    this.dispose();
    // Nobody listens any more, so this ends the process as the signal would have.
    process.kill(process.pid, signal);
  };
  #folder: string | null = null;
  #count = 0;

  constructor() {
    for (const signal of SIGNALS) process.on(signal, this.#onSignal);
  }

  /** A new path; nothing is there yet. */
  path(name: string): string {
    this.#folder ??= mkdtempSync(join(tmpdir(), 'lineside-backtest-'));
    this.#count += 1;
    return join(this.#folder, `${name}-${this.#count}`);
  }

  /** Removes this file at the end, too, unless it is released before. */
  adopt(path: string): void {
    this.#adopted.add(path);
  }

  release(path: string): void {
    this.#adopted.delete(path);
  }

  dispose(): void {
    for (const signal of SIGNALS) process.off(signal, this.#onSignal);
    for (const path of this.#adopted) rmSync(path, { force: true });
    this.#adopted.clear();
    if (this.#folder !== null) rmSync(this.#folder, { recursive: true, force: true });
    this.#folder = null;
  }
}
