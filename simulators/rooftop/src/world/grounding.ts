import type { Grounding, Supply } from '@lineside/fleet';
import { type Phasor, ThreePhase } from './phasor.ts';
import type { Phase } from './scenario.ts';

/** What lies between the phases and ground, microsiemens: conductance and capacitive susceptance. */
export class GroundAdmittance {
  readonly a: { g: number; b: number } = { g: 0, b: 0 };
  readonly b: { g: number; b: number } = { g: 0, b: 0 };
  readonly c: { g: number; b: number } = { g: 0, b: 0 };

  clear(): void {
    this.set('a', 0, 0);
    this.set('b', 0, 0);
    this.set('c', 0, 0);
  }

  set(phase: Phase, conductance: number, susceptance: number): void {
    this[phase].g = conductance;
    this[phase].b = susceptance;
  }

  addFrom(other: GroundAdmittance): void {
    this.a.g += other.a.g;
    this.a.b += other.a.b;
    this.b.g += other.b.g;
    this.b.b += other.b.b;
    this.c.g += other.c.g;
    this.c.b += other.c.b;
  }
}

/** Feeders and transformer of a system that is not solidly grounded, each phase (assumption). */
const SYSTEM_CAPACITANCE_MICROSIEMENS = 13;
/** A neutral resistor lets so much through at a full ground (common practice, no source). */
const RESISTOR_AMPS = 5;

/**
 * The ground of a transformer's system: where it lies among the phases. Solid systems fix it; in
 * the others it floats to where the currents through everything to ground sum to zero.
 */
export class GroundedSystem {
  /** Phases to ground, V. */
  readonly volts: ThreePhase = new ThreePhase();
  /** Ground to the transformer's neutral, V. */
  readonly ground: Phasor = { x: 0, y: 0 };
  readonly grounding: Grounding;
  private readonly neutralMicrosiemens: number;
  private readonly sum = new GroundAdmittance();

  constructor(supply: Pick<Supply, 'volts' | 'grounding'>) {
    this.grounding = supply.grounding;
    const ohms = supply.volts / Math.sqrt(3) / RESISTOR_AMPS;
    this.neutralMicrosiemens = supply.grounding === 'high-resistance' ? 1e6 / ohms : 0;
  }

  /** True where a full ground draws what a fuse notices. */
  get solid(): boolean {
    return this.grounding !== 'ungrounded' && this.grounding !== 'high-resistance';
  }

  /**
   * @param neutral phases to neutral, V.
   * @param own what the unit has to ground.
   * @param others what else hangs on the transformer; null: nothing of ours.
   */
  solve(neutral: ThreePhase, own: GroundAdmittance, others: GroundAdmittance | null): void {
    const { ground, volts } = this;
    switch (this.grounding) {
      case 'solid-wye':
        ground.x = 0;
        ground.y = 0;
        break;
      case 'corner-grounded-delta':
        ground.x = neutral.b.x;
        ground.y = neutral.b.y;
        break;
      case 'high-leg-delta':
        ground.x = (neutral.a.x + neutral.c.x) / 2;
        ground.y = (neutral.a.y + neutral.c.y) / 2;
        break;
      default:
        this.float(neutral, own, others);
    }
    volts.a.x = neutral.a.x - ground.x;
    volts.a.y = neutral.a.y - ground.y;
    volts.b.x = neutral.b.x - ground.x;
    volts.b.y = neutral.b.y - ground.y;
    volts.c.x = neutral.c.x - ground.x;
    volts.c.y = neutral.c.y - ground.y;
  }

  private float(neutral: ThreePhase, own: GroundAdmittance, others: GroundAdmittance | null): void {
    const { ground, sum } = this;
    const system = SYSTEM_CAPACITANCE_MICROSIEMENS;
    sum.clear();
    sum.addFrom(own);
    if (others !== null) sum.addFrom(others);
    const { a, b, c } = sum;
    const { a: ea, b: eb, c: ec } = neutral;
    const aB = a.b + system;
    const bB = b.b + system;
    const cB = c.b + system;
    // Currents that flow if the ground lay at the neutral, over all admittances.
    const x = ea.x * a.g - ea.y * aB + eb.x * b.g - eb.y * bB + ec.x * c.g - ec.y * cB;
    const y = ea.x * aB + ea.y * a.g + eb.x * bB + eb.y * b.g + ec.x * cB + ec.y * c.g;
    const g = a.g + b.g + c.g + this.neutralMicrosiemens;
    const s = aB + bB + cB;
    const square = g * g + s * s;
    ground.x = (x * g + y * s) / square;
    ground.y = (y * g - x * s) / square;
  }
}
