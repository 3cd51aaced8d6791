import { readFileSync } from 'node:fs';

const LOOK_EVERY_MS = 100;
const KIB_PER_MIB = 1_024;

/** The most memory that a process has used since it was last asked, MiB; Linux only. */
export class MemoryWatch {
  readonly #pid: number;
  readonly #timer: NodeJS.Timeout;
  #peak = 0;

  constructor(pid: number) {
    this.#pid = pid;
    this.#timer = setInterval(() => this.#look(), LOOK_EVERY_MS);
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
    const text = readFileSync(`/proc/${this.#pid}/status`, 'utf8');
    const kib = Number(/^VmRSS:\s+(\d+) kB$/m.exec(text)?.[1]);
    this.#peak = Math.max(this.#peak, Math.round(kib / KIB_PER_MIB));
  }
}
