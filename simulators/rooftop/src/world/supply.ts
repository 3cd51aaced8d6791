import type { Supply } from '@lineside/fleet';
import { Drift } from './drift.ts';
import { type Fault, stands } from './fault-kinds.ts';
import { during, type LookAlike } from './look-alike-kinds.ts';
import { ThreePhase, UNIT_PHASORS } from './phasor.ts';
import type { RandomStream } from './random.ts';
import { PHASES, type Phase } from './scenario.ts';

type SupplyChange = Fault & { readonly kind: 'supply-unbalance' | 'utility-phase-lost' };

const SQRT3: number = Math.sqrt(3);
/** A phase with less than this share of its voltage is as good as none. */
const PRESENT_SHARE = 0.3;

/** Voltages of the conductors that reach a unit's disconnect, to the neutral of the transformer. */
export class UnitSupply {
  /** V, line to neutral. */
  readonly volts: ThreePhase = new ThreePhase();
  /** Each phase's magnitude over the rated one. */
  readonly shares: Record<Phase, number> = { a: 1, b: 1, c: 1 };
  /** Set while a delta-wye transformer upstream has lost a phase: the one that stays whole. */
  wholePhase: Phase | null = null;
  private readonly neutralVolts: number;
  private readonly level: Drift;
  private readonly evenness: number;
  private readonly changes: readonly SupplyChange[];
  private readonly outages: readonly LookAlike[];

  constructor(
    supply: Pick<Supply, 'volts'>,
    faults: readonly Fault[],
    lookAlikes: readonly LookAlike[],
    levelStream: RandomStream,
    evenness: number,
  ) {
    this.neutralVolts = supply.volts / SQRT3;
    this.level = new Drift(levelStream, 5400, 0.007);
    this.evenness = evenness;
    this.changes = faults.filter(
      (fault) => fault.kind === 'supply-unbalance' || fault.kind === 'utility-phase-lost',
    );
    this.outages = lookAlikes.filter(({ kind }) => kind === 'utility-outage');
  }

  step(atMs: number, stepSeconds: number): void {
    const level = 1 + this.level.step(stepSeconds);
    this.wholePhase = null;
    this.shares.a = level * (1 + this.evenness);
    this.shares.b = level;
    this.shares.c = level * (1 - this.evenness);
    for (const change of this.changes) if (stands(change, atMs)) this.lower(change);
    this.setVolts();
    if (this.wholePhase !== null) this.backFeed(this.wholePhase);
    for (const outage of this.outages) if (during(outage, atMs)) this.die();
  }

  present(phase: Phase): boolean {
    return this.shares[phase] > PRESENT_SHARE;
  }

  /** Voltage between two phases over the rated one. */
  lineShare(from: Phase, to: Phase): number {
    return this.lineVolts(from, to) / (this.neutralVolts * SQRT3);
  }

  lineVolts(from: Phase, to: Phase): number {
    const x = this.volts[from].x - this.volts[to].x;
    const y = this.volts[from].y - this.volts[to].y;
    return Math.sqrt(x * x + y * y);
  }

  private lower(change: SupplyChange): void {
    if (change.kind === 'supply-unbalance') {
      this.shares[change.phase] *= 1 - change.lowPercent / 100;
    } else if (change.through === 'direct') {
      this.shares[change.phase] = 0;
    } else {
      this.wholePhase = change.phase;
    }
  }

  /**
   * One line of the delta is gone: a single winding keeps its voltage, the other two share the same
   * line in series, so that each has half of it, turned round.
   */
  private backFeed(whole: Phase): void {
    const { x, y } = this.volts[whole];
    for (const phase of PHASES) {
      if (phase === whole) continue;
      this.shares[phase] = this.shares[whole] / 2;
      this.volts[phase].x = -x / 2;
      this.volts[phase].y = -y / 2;
    }
  }

  private die(): void {
    this.shares.a = 0;
    this.shares.b = 0;
    this.shares.c = 0;
    this.setVolts();
  }

  private setVolts(): void {
    const { shares, volts, neutralVolts } = this;
    volts.a.x = neutralVolts * shares.a;
    volts.a.y = 0;
    volts.b.x = neutralVolts * shares.b * UNIT_PHASORS.b.x;
    volts.b.y = neutralVolts * shares.b * UNIT_PHASORS.b.y;
    volts.c.x = neutralVolts * shares.c * UNIT_PHASORS.c.x;
    volts.c.y = neutralVolts * shares.c * UNIT_PHASORS.c.y;
  }
}
