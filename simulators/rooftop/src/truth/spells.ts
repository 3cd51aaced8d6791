import type { LookAlikeTruth } from './truth.ts';

/** Breaks shorter than this do not part a spell. */
const BREAK_MS = 30 * 60_000;

/** When something held, from samples of a condition. */
export class Spells {
  private readonly done: { fromMs: number; toMs: number }[] = [];

  holds(atMs: number): void {
    const last = this.done.at(-1);
    if (last !== undefined && atMs - last.toMs <= BREAK_MS) last.toMs = atMs;
    else this.done.push({ fromMs: atMs, toMs: atMs });
  }

  as(lookAlike: string): LookAlikeTruth[] {
    return this.done.map(({ fromMs, toMs }) => ({ lookAlike, fromMs, toMs }));
  }
}
