import { unbalancePercent } from '@lineside/physics';
import type { ElectricalSide } from '../world/electrical.ts';
import type { Fault } from '../world/fault-kinds.ts';
import type { UnbalanceTruth } from './truth.ts';

/** The trade's limit for an urgent visit, and how long it must last (common practice). */
const URGENT_PERCENT = 10;
const HELD_MS = 15 * 60_000;
/** A stage is known from so much running before any fault. */
const KNOWN_MS = 60 * 60_000;

interface Stage {
  healthyMs: number;
  healthySum: number;
  /** Newest running, oldest first, that lasts `HELD_MS` together. */
  readonly recent: { readonly lastsMs: number; readonly excess: number }[];
  recentMs: number;
}

/**
 * How far the phase currents, as they truly are, stand above what their running stage had before
 * anything made them uneven. Only what faults do counts: a service outlet in use is left out, and
 * so is a lost phase. Units without such a fault cost nothing.
 */
export class UnbalanceLog {
  private readonly fromMs: number | null;
  private readonly stages = new Map<number, Stage>();
  private heldMost = 0;
  private urgentMs: number | null = null;

  constructor(faults: readonly Fault[]) {
    const begins = faults.flatMap((fault) =>
      fault.kind === 'loose-terminal' ||
      fault.kind === 'worn-pole' ||
      fault.kind === 'supply-unbalance'
        ? [fault.fromMs]
        : [],
    );
    this.fromMs = begins.length > 0 ? Math.min(...begins) : null;
  }

  step(electrical: ElectricalSide, atMs: number, stepSeconds: number): void {
    const { currents, feed, loads } = electrical;
    if (this.fromMs === null || loads.loadsRunning() === 0 || feed.livePhases() < 3) return;
    if (electrical.outletUsed()) return;
    const percent = unbalancePercent(currents.amps('a'), currents.amps('b'), currents.amps('c'));
    const stage = this.stageOf(loads.loads.reduce((bits, load) => 2 * bits + +load.running, 0));
    const lastsMs = 1000 * stepSeconds;
    if (atMs >= this.fromMs) this.follow(stage, percent, atMs, lastsMs);
    else {
      stage.healthyMs += lastsMs;
      stage.healthySum += percent * lastsMs;
    }
  }

  truth(): UnbalanceTruth {
    return { heldMostPercent: this.heldMost, urgentMs: this.urgentMs };
  }

  private follow(stage: Stage, percent: number, atMs: number, lastsMs: number): void {
    if (stage.healthyMs < KNOWN_MS) return;
    const { recent } = stage;
    recent.push({ lastsMs, excess: percent - stage.healthySum / stage.healthyMs });
    stage.recentMs += lastsMs;
    for (let first = recent[0]; first !== undefined; first = recent[0]) {
      if (stage.recentMs - first.lastsMs < HELD_MS) break;
      stage.recentMs -= first.lastsMs;
      recent.shift();
    }
    if (stage.recentMs < HELD_MS) return;
    const held = recent.reduce((least, { excess }) => Math.min(least, excess), Infinity);
    this.heldMost = Math.max(this.heldMost, held);
    if (held >= URGENT_PERCENT) this.urgentMs ??= atMs;
  }

  private stageOf(key: number): Stage {
    let stage = this.stages.get(key);
    if (stage === undefined) {
      stage = { healthyMs: 0, healthySum: 0, recent: [], recentMs: 0 };
      this.stages.set(key, stage);
    }
    return stage;
  }
}
