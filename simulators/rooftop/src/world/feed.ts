import { PHASES, type Phase } from './scenario.ts';

/** Fuses and disconnect of one unit: what is live behind them. */
export class Feed {
  private readonly open = new Set<Phase>();
  /** When the first of the open fuses opened, null while all are whole. */
  openedAtMs: number | null = null;
  disconnectClosed = true;

  /** Opens fuses; those that are open stay so. */
  openFuses(phases: readonly Phase[], atMs: number): void {
    for (const phase of phases) this.open.add(phase);
    if (this.open.size > 0) this.openedAtMs ??= atMs;
  }

  replaceFuses(): void {
    this.open.clear();
    this.openedAtMs = null;
  }

  openPhases(): Phase[] {
    return PHASES.filter((phase) => this.open.has(phase));
  }

  live(phase: Phase): boolean {
    return this.disconnectClosed && !this.open.has(phase);
  }

  /** Control transformer and node supply hang on phases a and b. */
  controlLive(): boolean {
    return this.live('a') && this.live('b');
  }

  livePhases(): number {
    return PHASES.filter((phase) => this.live(phase)).length;
  }
}
