import { existsSync, readFileSync } from 'node:fs';

const LOOK_EVERY_MS = 100;
const KIB_PER_MIB = 1_024;

/** The most memory that a process has used since it was last asked, MiB; Linux only. */
export class MemoryWatch {
  #pid: number;
  readonly #timer: NodeJS.Timeout;
  #peak = 0;

  constructor(pid: number) {
    this.#pid = pid;
    this.#timer = setInterval(() => this.#look(), LOOK_EVERY_MS);
  }

  /** Watches its successor from now on. */
  follow(pid: number): void {
    this.#pid = pid;
  }

  /** The peak since the last call. */
  take(): number {
    this.#look();
    const peak = this.#peak;
    this.#peak = 0;
    return peak;
  }

  end(): void {
    clearInterval(this.#timer);
  }

  #look(): void {
    const file = `/proc/${this.#pid}/status`;
    if (!existsSync(file)) return;
    const text = readFileSync(file, 'utf8');
    const kib = Number(/^VmRSS:\s+(\d+) kB$/m.exec(text)?.[1] ?? 0);
    this.#peak = Math.max(this.#peak, Math.round(kib / KIB_PER_MIB));
  }
}
