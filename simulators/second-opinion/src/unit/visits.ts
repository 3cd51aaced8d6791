import type { VisitTruth } from '@lineside/rooftop';
import type { Leg, PlainUnitPlan } from '../plan.ts';
import type { FaultPage } from '../truth/fault-book.ts';

const HOUR_MS = 3_600_000;
const NAMES = ['a', 'b', 'c'] as const;

/** What the office hears of a visit. */
export interface VisitRecord {
  readonly atMs: number;
  readonly actions: readonly string[];
  readonly phases: readonly string[];
}

/** Which fuses are open, and who comes to put new ones in. */
export class PlainVisits {
  readonly done: VisitTruth[] = [];
  private readonly open: Set<Leg> = new Set();
  private readonly plan: PlainUnitPlan;
  private readonly pages: readonly FaultPage[];
  private comesAtMs = Number.POSITIVE_INFINITY;
  private because: FaultPage | null = null;
  private failures = 0;

  constructor(plan: PlainUnitPlan, pages: readonly FaultPage[]) {
    this.plan = plan;
    this.pages = pages;
  }

  isOpen(leg: Leg): boolean {
    return this.open.has(leg);
  }

  opened(atMs: number, legs: readonly Leg[], because: FaultPage): void {
    for (const leg of legs) this.open.add(leg);
    this.failures += 1;
    this.because = because;
    this.comesAtMs = Math.min(this.comesAtMs, atMs + this.plan.swapHours * HOUR_MS);
  }

  /** The visit that is made by now, null when there is none. */
  due(atMs: number): VisitRecord | null {
    if (atMs < this.comesAtMs) return null;
    this.comesAtMs = Number.POSITIVE_INFINITY;
    const phases = [...this.open].sort().map((leg) => NAMES[leg]);
    this.open.clear();
    const { repairedAfter, recordsVisits } = this.plan;
    const kind = this.because?.fault.kind;
    const single = kind === 'open-fuse' || kind === 'fuses-gone';
    const repairs = single || (repairedAfter !== null && this.failures >= repairedAfter);
    const actions = ['fuses-replaced'];
    const ended: number[] = [];
    if (repairs && this.because !== null) {
      ended.push(this.pages.indexOf(this.because));
      this.because.endedMs = atMs;
      if (!single) actions.push('contactor-replaced', 'cleaned', 'root-cause');
    }
    this.done.push({ atMs, actions, ended, sealed: false });
    return recordsVisits ? { atMs, actions, phases } : null;
  }
}
