import type { Phase } from './scenario.ts';

const THIRD_TURN = (2 * Math.PI) / 3;

/** Angle of each phase to neutral, radians: a, b, c in positive sequence. */
export const PHASE_ANGLES: Readonly<Record<Phase, number>> = {
  a: 0,
  b: -THIRD_TURN,
  c: THIRD_TURN,
};

/** A sinusoid of mains frequency by its RMS value, real and imaginary part. */
export interface Phasor {
  x: number;
  y: number;
}

/** A phasor for each phase, changed in place. */
export class ThreePhase {
  readonly a: Phasor = { x: 0, y: 0 };
  readonly b: Phasor = { x: 0, y: 0 };
  readonly c: Phasor = { x: 0, y: 0 };

  clear(): void {
    this.a.x = 0;
    this.a.y = 0;
    this.b.x = 0;
    this.b.y = 0;
    this.c.x = 0;
    this.c.y = 0;
  }

  magnitude(phase: Phase): number {
    const { x, y } = this[phase];
    return Math.sqrt(x * x + y * y);
  }
}

/** Unit phasor of each phase to neutral. */
export const UNIT_PHASORS: Readonly<Record<Phase, Readonly<Phasor>>> = {
  a: { x: 1, y: 0 },
  b: { x: -0.5, y: -Math.sqrt(3) / 2 },
  c: { x: -0.5, y: Math.sqrt(3) / 2 },
};

/** The currents in a unit's line conductors and its neutral, A. */
export class PhaseCurrents extends ThreePhase {
  /** In the neutral, through the same window as the phases. */
  readonly neutral: Phasor = { x: 0, y: 0 };

  override clear(): void {
    super.clear();
    this.neutral.x = 0;
    this.neutral.y = 0;
  }

  add(phase: Phase, x: number, y: number): void {
    const sum = this[phase];
    sum.x += x;
    sum.y += y;
  }

  /** A load between two phases: the same current leaves by one and returns by the other. */
  addBetween(from: Phase, to: Phase, amps: number, lagRadians: number, volts: ThreePhase): void {
    const x = volts[from].x - volts[to].x;
    const y = volts[from].y - volts[to].y;
    const length = Math.sqrt(x * x + y * y);
    if (length === 0) return;
    const cos = (amps / length) * Math.cos(lagRadians);
    const sin = (amps / length) * Math.sin(lagRadians);
    const currentX = x * cos + y * sin;
    const currentY = y * cos - x * sin;
    this.add(from, currentX, currentY);
    this.add(to, -currentX, -currentY);
  }

  /** A load from one phase to the neutral. */
  addToNeutral(phase: Phase, amps: number): void {
    const { x, y } = UNIT_PHASORS[phase];
    this.add(phase, amps * x, amps * y);
    this.neutral.x -= amps * x;
    this.neutral.y -= amps * y;
  }

  amps(phase: Phase): number {
    return this.magnitude(phase);
  }

  /** What does not come back by the conductors, real part, A. */
  residualX(): number {
    return this.a.x + this.b.x + this.c.x + this.neutral.x;
  }

  residualY(): number {
    return this.a.y + this.b.y + this.c.y + this.neutral.y;
  }
}
