import type { WettingTruth } from '@lineside/rooftop';

/** A shorter break between two readings hides nothing of a wetting. */
const BREAK_MS = 10 * 60_000;

/** The spans in which a node sent nothing. */
export class Silences {
  private readonly spans: { readonly fromMs: number; readonly toMs: number }[] = [];
  private lastMs: number;

  constructor(startMs: number) {
    this.lastMs = startMs;
  }

  /** A reading, or the end of the run. */
  heard(atMs: number): void {
    if (atMs - this.lastMs > BREAK_MS) this.spans.push({ fromMs: this.lastMs, toMs: atMs });
    this.lastMs = Math.max(this.lastMs, atMs);
  }

  /** Whether more than half of the wetting went by unheard. */
  hid({ startMs, endMs }: Pick<WettingTruth, 'startMs' | 'endMs'>): boolean {
    const hiddenMs = this.spans.reduce((sum, { fromMs, toMs }) => {
      return sum + Math.max(0, Math.min(endMs, toMs) - Math.max(startMs, fromMs));
    }, 0);
    return hiddenMs > (endMs - startMs) / 2;
  }
}
