import type { PublishProgress } from '@lineside/rooftop';

const STEP_PERCENT = 10;
const WHOLE_PERCENT = 100;

/** Turns the progress of many units into one line a tenth of the history. */
export class SimulationProgress {
  private readonly fromMs: number;
  private readonly toMs: number;
  private readonly sentThroughMs = new Map<string, number>();
  private readonly done = new Set<string>();
  private saidPercent = 0;
  private saidDone = false;

  constructor(fromMs: number, toMs: number) {
    this.fromMs = fromMs;
    this.toMs = toMs;
  }

  /** A line worth printing, or null. */
  take(step: PublishProgress): string | null {
    const name = `${step.site}/${step.unit}`;
    this.sentThroughMs.set(name, step.sentThroughMs ?? this.fromMs);
    if (step.done) this.done.add(name);
    if (this.done.size === this.sentThroughMs.size && this.done.size > 0) return this.finished();
    const percent = this.percent();
    if (percent < this.saidPercent + STEP_PERCENT || percent >= WHOLE_PERCENT) return null;
    this.saidPercent = percent - (percent % STEP_PERCENT);
    return `history sent: ${this.saidPercent} %`;
  }

  private finished(): string | null {
    if (this.saidDone) return null;
    this.saidDone = true;
    return `history of ${this.done.size} units sent, live from now on`;
  }

  private percent(): number {
    const all = [...this.sentThroughMs.values()];
    const mean = all.reduce((sum, atMs) => sum + atMs, 0) / all.length;
    const share = (mean - this.fromMs) / Math.max(1, this.toMs - this.fromMs);
    return Math.floor(Math.max(0, share) * WHOLE_PERCENT);
  }
}
