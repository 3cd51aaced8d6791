import type { ChannelValues } from '@lineside/readings';
import {
  type Fault,
  type Phase,
  type RandomStream,
  randomStream,
  type UnitTruth,
  type UnitWorld,
} from '@lineside/rooftop';
import { YEAR_MS } from '../scoring/observed-unit.ts';
import { type Compared, PresenceTest, SideTest, UnbalanceTest } from './fault-test.ts';
import { alarmBound, waldBounds } from './likelihood-ratio.ts';
import { isTested, type ReadingsWithout } from './world-without.ts';

/** The goal for urgent alarms of healthy units sets the threshold of each test. */
const FALSE_URGENT_PER_UNIT_YEAR = 0.1;
/** Three sides in a hundred may be said wrongly: the goal. */
const SIDE_ERROR = 0.03;
/** Controls and heaters draw more on a live phase; a drive's filter draws mA on a dead one. */
const DEAD_AMPS = 0.1;

/** What the knowing detector has found out about a fault, or a loss. */
export interface Found {
  readonly kind: Fault['kind'] | 'loss';
  readonly foundMs: number;
  readonly side: 'line' | 'load' | null;
}

interface Tested {
  readonly fault: Fault;
  readonly fromMs: number;
  readonly presence: PresenceTest | UnbalanceTest;
  readonly side: SideTest | null;
}

/** Tests each fault of one unit against the same world without it. */
export class KnowingWatch {
  private readonly world: UnitWorld;
  private readonly without: ReadingsWithout;
  private readonly noise: RandomStream;
  private readonly bound: number;
  private readonly tested: readonly Tested[];
  private readonly losses: Found[] = [];
  private loss: PresenceTest | null = null;

  constructor(world: UnitWorld, without: ReadingsWithout, seed: number, lastsMs: number) {
    this.world = world;
    this.without = without;
    this.noise = randomStream(seed, `${world.unit.site}/${world.unit.id}/ideal`);
    this.bound = alarmBound(FALSE_URGENT_PER_UNIT_YEAR, lastsMs / YEAR_MS);
    this.tested = world.script.faults.flatMap((fault) => this.testOf(fault));
  }

  /** A reading as it was sent, in order. */
  reading(atMs: number, sent: ChannelValues, { loadsRunning, openFuses }: UnitTruth): void {
    const without = this.without.take(atMs);
    if (without === null) return;
    const deviate = this.noise.gauss();
    const compared = { atMs, sent, without, loadsRunning, deviate };
    if (this.isDead(openFuses) || this.isLost(atMs)) {
      this.followLoss(compared);
      return;
    }
    this.loss = null;
    for (const { fromMs, presence, side } of this.tested) {
      if (atMs < fromMs) continue;
      presence.step(compared);
      side?.step(compared);
    }
  }

  found(): readonly Found[] {
    const faults = this.tested.flatMap(({ fault, presence, side }) =>
      presence.foundMs === null
        ? []
        : [{ kind: fault.kind, foundMs: presence.foundMs, side: side?.said ?? null }],
    );
    return [...faults, ...this.losses];
  }

  /** A fuse that opens right after a sample still carried its current at it. */
  private isDead(openFuses: readonly Phase[]): boolean {
    if (openFuses.length === 0) return false;
    const currents = this.world.currents();
    return openFuses.some((phase) => currents.amps(phase) < DEAD_AMPS);
  }

  /** Whether phases are dead though no fuse is open. */
  private isLost(atMs: number): boolean {
    return this.world.script.faults.some(
      (fault) =>
        (fault.kind === 'utility-phase-lost' || fault.kind === 'disconnect-open') &&
        atMs >= fault.fromMs &&
        atMs < (fault.toMs ?? Number.POSITIVE_INFINITY),
    );
  }

  private followLoss(compared: Compared): void {
    this.loss ??= new PresenceTest(this.world.fit, this.bound, false);
    if (this.loss.foundMs !== null) return;
    this.loss.step(compared);
    const { foundMs } = this.loss;
    if (foundMs !== null) this.losses.push({ kind: 'loss', foundMs, side: null });
  }

  private testOf(fault: Fault): Tested[] {
    if (!isTested(fault) || !('fromMs' in fault)) return [];
    const { fit } = this.world;
    const fromMs = fault.fromMs ?? Number.NEGATIVE_INFINITY;
    const presence = new PresenceTest(fit, this.bound, true);
    switch (fault.kind) {
      case 'track-to-ground':
      case 'vermin':
        return [{ fault, fromMs, presence, side: sideTest('line') }];
      case 'load-insulation':
        return [{ fault, fromMs, presence, side: sideTest('load') }];
      case 'track-between-poles':
        return [{ fault, fromMs, presence, side: null }];
      case 'loose-terminal':
      case 'worn-pole':
      case 'supply-unbalance':
        return [{ fault, fromMs, presence: new UnbalanceTest(), side: null }];
      default:
        // What loses phases is tested as a loss.
        return [];
    }

    function sideTest(truly: 'line' | 'load'): SideTest {
      return new SideTest(fit, truly, waldBounds(SIDE_ERROR, SIDE_ERROR));
    }
  }
}
