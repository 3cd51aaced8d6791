import { clamp } from './drift.ts';
import type { Fault } from './fault-kinds.ts';
import type { Load } from './loads.ts';
import type { RandomStream } from './random.ts';
import { PHASES, type Phase } from './scenario.ts';

type ConnectionFault = Fault & { readonly kind: 'loose-terminal' | 'worn-pole' };

/** One bad connection in the way of one load. */
interface Connection {
  readonly fault: ConnectionFault;
  readonly index: number;
  repaired: boolean;
  /** How the pole made contact at the last pull-in; 1 for a terminal. */
  contact: number;
  /** What it takes from its phase now, 0 to 1. */
  share: number;
}

/** Loose terminals and worn poles: what they do to the currents of a load. */
export class Connections {
  private readonly connections: readonly Connection[];
  private readonly random: RandomStream;

  constructor(faults: readonly Fault[], random: RandomStream) {
    this.random = random;
    this.connections = faults.flatMap((fault, index) =>
      fault.kind === 'loose-terminal' || fault.kind === 'worn-pole'
        ? [{ fault, index, repaired: false, contact: 1, share: 0 }]
        : [],
    );
  }

  step(loads: readonly Load[], atMs: number): void {
    for (const connection of this.connections) {
      const { fault } = connection;
      const load = loads[fault.contactor];
      if (fault.kind === 'worn-pole' && load?.started === true) {
        connection.contact = this.random.between(0.4, 1.6);
      }
      const time = clamp((atMs - fault.fromMs) / (fault.untilMs - fault.fromMs), 0, 1);
      // Slow until the contact begins to overheat.
      const growth = 0.12 * time + 0.88 * time ** 4;
      connection.share = connection.repaired
        ? 0
        : clamp((fault.finalPercent / 100) * growth * connection.contact, 0, 1);
    }
  }

  /** Factors of the phases of a load; false when none of them differs from 1. */
  factorsOf(contactor: number, into: Record<Phase, number>): boolean {
    let any = false;
    for (const { fault, share } of this.connections) {
      if (fault.contactor !== contactor || share === 0) continue;
      if (!any) {
        any = true;
        into.a = 1;
        into.b = 1;
        into.c = 1;
      }
      for (const phase of PHASES) into[phase] *= phase === fault.phase ? 1 - share : 1 + share / 2;
    }
    return any;
  }

  repair(kind: ConnectionFault['kind']): void {
    for (const connection of this.connections) {
      if (connection.fault.kind === kind) connection.repaired = true;
    }
  }

  /** What each takes from its phase now, as a share of the load's current. */
  shares(): readonly Readonly<Connection>[] {
    return this.connections;
  }
}
