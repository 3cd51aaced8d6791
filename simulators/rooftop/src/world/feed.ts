import { PHASES, type Phase } from './scenario.ts';
import type { UnitSupply } from './supply.ts';

/** A contactor coil or a node falls off below this share of the rated voltage (assumption). */
const HOLDING_SHARE = 0.7;

/** Fuses and disconnect of one unit: what is live behind them. */
export class Feed {
  disconnectClosed = true;
  /** When the first of the open fuses opened, null while all are whole. */
  openedAtMs: number | null = null;
  private readonly open: Record<Phase, boolean> = { a: false, b: false, c: false };
  private readonly supply: UnitSupply;
  private readonly controlPhases: readonly [Phase, Phase];

  constructor(supply: UnitSupply, controlPhases: readonly [Phase, Phase]) {
    this.supply = supply;
    this.controlPhases = controlPhases;
  }

  /** Opens fuses; those that are open stay so. Gives those that were whole. */
  openFuses(phases: readonly Phase[], atMs: number): Phase[] {
    const blown = phases.filter((phase) => !this.open[phase]);
    for (const phase of blown) this.open[phase] = true;
    if (blown.length > 0) this.openedAtMs ??= atMs;
    return blown;
  }

  replaceFuses(): void {
    this.open.a = false;
    this.open.b = false;
    this.open.c = false;
    this.openedAtMs = null;
  }

  openPhases(): Phase[] {
    return this.openedAtMs === null ? [] : PHASES.filter((phase) => this.open[phase]);
  }

  live(phase: Phase): boolean {
    return this.disconnectClosed && !this.open[phase] && this.supply.present(phase);
  }

  /** Control transformer and node supply. */
  controlLive(): boolean {
    const [from, to] = this.controlPhases;
    if (!this.live(from) || !this.live(to)) return false;
    return this.supply.lineShare(from, to) > HOLDING_SHARE;
  }

  livePhases(): number {
    return Number(this.live('a')) + Number(this.live('b')) + Number(this.live('c'));
  }
}
