import { type ChildProcess, spawn } from 'node:child_process';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { createInterface } from 'node:readline';
import { type ServerLine, serverLine } from '@lineside/alerting/bystander';
import type { Logger } from 'pino';
import { parseBystanderLine } from './told-lines.ts';

/** The command, as it is installed: two folders up from here, built or not. */
const COMMAND = join(import.meta.dirname, '..', '..', 'bin', 'lineside.mjs');

/** Before a bystander that ended is started anew: one that cannot start must not fill the log. */
const START_AGAIN_AFTER_MS = 30_000;

/** What may wait for a bystander that reads nothing; heartbeats beyond it are dropped. */
const UNREAD_MOST_BYTES = 1_048_576;

/** How long it has for ending after the last word. */
const END_WITHIN_MS = 2_000;

export interface ChildParts {
  readonly dataFolder: string;
  /** What each new bystander hears first. */
  readonly opening: () => readonly ServerLine[];
  readonly log: Pick<Logger, 'info' | 'warn' | 'error'>;
}

/** The bystander's process, seen from the server. */
export class BystanderChild {
  readonly #parts: ChildParts;
  #child: ChildProcess | null = null;
  #again: NodeJS.Timeout | null = null;
  #isEnding = false;
  #mayGoOn = false;
  #lookedAtMs = performance.now();

  constructor(parts: ChildParts) {
    this.#parts = parts;
  }

  /** Starts it unless it runs, or ended a moment ago. */
  start(): void {
    if (this.#child !== null || this.#again !== null || this.#isEnding) return;
    const { dataFolder, opening, log } = this.#parts;
    // A group of its own, so that what ends the server's leaves it; its output must hold nobody's.
    const child = spawn(process.execPath, [COMMAND, 'bystander', '--data', dataFolder], {
      detached: true,
      stdio: ['pipe', 'pipe', 'ignore'],
    });
    this.#child = child;
    this.#lookedAtMs = performance.now();
    child.on('error', (error) => log.error({ err: error }, 'the bystander cannot be started'));
    child.stdin.on('error', () => {});
    child.once('close', (status) => this.#ended(status));
    createInterface({ input: child.stdout }).on('line', (line) => this.#hear(line));
    child.unref();
    for (const line of opening()) this.say(line);
  }

  /** How long ago it last looked, milliseconds; null while there is none. */
  lookAgeMs(): number | null {
    return this.#child === null ? null : performance.now() - this.#lookedAtMs;
  }

  say(line: ServerLine): void {
    const stdin = this.#child?.stdin;
    if (!stdin?.writable || stdin.writableLength > UNREAD_MOST_BYTES) return;
    stdin.write(serverLine(line));
  }

  /** Says the last word: it ends by itself then, but for a crash that is still to be told. */
  sayLast(line: ServerLine): void {
    if (this.#isEnding) return;
    this.#isEnding = true;
    this.#mayGoOn = line.kind === 'did-not-start';
    if (this.#again !== null) clearTimeout(this.#again);
    this.say(line);
    this.#child?.stdin?.end();
  }

  /** Resolves when it has ended. After a time it is ended, or left alone where it may go on. */
  async over(): Promise<void> {
    const child = this.#child;
    if (child === null || child.exitCode !== null) return;
    const ended = new Promise((resolve) => child.once('close', resolve));
    let timer: NodeJS.Timeout | undefined;
    const late = new Promise<void>((resolve) => {
      timer = setTimeout(() => {
        if (this.#mayGoOn) resolve();
        else child.kill('SIGKILL');
      }, END_WITHIN_MS);
    });
    await Promise.race([ended, late]);
    clearTimeout(timer);
  }

  #ended(status: number | null): void {
    this.#child = null;
    if (this.#isEnding) return;
    this.#parts.log.error({ status }, 'the bystander has ended, it is started again');
    this.#again = setTimeout(() => {
      this.#again = null;
      this.start();
    }, START_AGAIN_AFTER_MS);
    this.#again.unref();
  }

  #hear(text: string): void {
    const line = parseBystanderLine(text);
    if (line?.kind === 'looked') this.#lookedAtMs = performance.now();
    else if (line !== null) this.#parts.log[line.level](line.about, line.words);
  }
}
