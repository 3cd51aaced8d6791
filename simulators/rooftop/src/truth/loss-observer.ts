import type { ElectricalSide } from '../world/electrical.ts';
import type { Fault } from '../world/fault-kinds.ts';
import { type NodeFit, PHASES, type Phase } from '../world/scenario.ts';
import type { FaultLog } from './fault-log.ts';

/** Dead is told from idle where the idle current is above so many floors of its sensor. */
const FLOORS = 3;
const LEAST_IDLE_SAMPLES = 30;

/** Kinds that lose one phase: the trade asks for them while a load runs. */
const PHASE_KINDS: readonly Fault['kind'][] = ['open-fuse', 'hot-fuse-clip', 'utility-phase-lost'];

/**
 * Decides from which sample on a lost phase, or a lost supply, can be told by what the node sends.
 * Two samples in a row must tell: one alone proves nothing.
 */
export class LossObserver {
  private readonly faults: readonly Fault[];
  private readonly fit: NodeFit;
  private readonly electrical: ElectricalSide;
  private readonly log: FaultLog;
  private readonly idleAmps: Record<Phase, number> = { a: 0, b: 0, c: 0 };
  private idleSamples = 0;
  private readonly firstTellingMs: (number | null)[];

  constructor(faults: readonly Fault[], fit: NodeFit, electrical: ElectricalSide, log: FaultLog) {
    this.faults = faults;
    this.fit = fit;
    this.electrical = electrical;
    this.log = log;
    this.firstTellingMs = faults.map(() => null);
  }

  look(atMs: number, sent: boolean): void {
    const { electrical, log } = this;
    const { feed, loads } = electrical;
    if (feed.livePhases() === 3 && feed.disconnectClosed && loads.loadsRunning() === 0) {
      this.learnIdle();
    }
    for (let index = 0; index < this.faults.length; index += 1) {
      const fault = this.faults[index];
      if (fault === undefined || !log.waitsForTelling(index)) continue;
      if (!sent || !this.tells(fault)) {
        this.firstTellingMs[index] = null;
        continue;
      }
      const firstMs = this.firstTellingMs[index] ?? null;
      if (firstMs === null) this.firstTellingMs[index] = atMs;
      else log.tellable(index, firstMs);
    }
  }

  private learnIdle(): void {
    this.idleSamples += 1;
    for (const phase of PHASES) {
      const amps = this.electrical.currents.amps(phase);
      this.idleAmps[phase] += (amps - this.idleAmps[phase]) / this.idleSamples;
    }
  }

  private tells(fault: Fault): boolean {
    const { electrical, fit } = this;
    const { feed, loads, supply } = electrical;
    const whole = feed.livePhases() === 3 && supply.wholePhase === null;
    if (whole) return false;
    if (loads.loadsRunning() > 0) return true;
    if (PHASE_KINDS.includes(fault.kind)) return false;
    if (fit.voltages || fit.voltagesToGround) return true;
    if (this.idleSamples < LEAST_IDLE_SAMPLES) return false;
    const dead = PHASES.filter((phase) => !feed.live(phase));
    return dead.some((phase) => this.idleAmps[phase] > FLOORS * fit.currentFloorAmps);
  }
}
