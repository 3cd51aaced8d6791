import { PHASES, type Phase } from './scenario.ts';

const THIRD_TURN = (2 * Math.PI) / 3;

/** Angle of each phase to neutral, radians: a, b, c in positive sequence. */
export const PHASE_ANGLES: Readonly<Record<Phase, number>> = {
  a: 0,
  b: -THIRD_TURN,
  c: THIRD_TURN,
};

const LINE_ANGLES: Readonly<Record<Phase, Readonly<Record<Phase, number>>>> = {
  a: anglesFrom('a'),
  b: anglesFrom('b'),
  c: anglesFrom('c'),
};

/** Angle of the voltage from one phase to another, radians. */
export function lineAngle(from: Phase, to: Phase): number {
  return LINE_ANGLES[from][to];
}

function anglesFrom(from: Phase): Record<Phase, number> {
  const angleTo = (to: Phase): number => {
    const x = Math.cos(PHASE_ANGLES[from]) - Math.cos(PHASE_ANGLES[to]);
    const y = Math.sin(PHASE_ANGLES[from]) - Math.sin(PHASE_ANGLES[to]);
    return Math.atan2(y, x);
  };
  return { a: angleTo('a'), b: angleTo('b'), c: angleTo('c') };
}

/** A sum of sinusoids of mains frequency. */
export class PhasorSum {
  private x = 0;
  private y = 0;

  clear(): void {
    this.x = 0;
    this.y = 0;
  }

  add(magnitude: number, angle: number): void {
    this.x += magnitude * Math.cos(angle);
    this.y += magnitude * Math.sin(angle);
  }

  magnitude(): number {
    return Math.sqrt(this.x * this.x + this.y * this.y);
  }
}

/** Phase currents as phasors, A. */
export class PhaseCurrents {
  private readonly sums = { a: new PhasorSum(), b: new PhasorSum(), c: new PhasorSum() };

  clear(): void {
    for (const phase of PHASES) this.sums[phase].clear();
  }

  addToPhase(phase: Phase, amps: number, lagRadians: number): void {
    this.sums[phase].add(amps, PHASE_ANGLES[phase] - lagRadians);
  }

  /** A load between two phases: the same current leaves by one and returns by the other. */
  addBetween(from: Phase, to: Phase, amps: number, lagRadians: number): void {
    const angle = lineAngle(from, to) - lagRadians;
    this.sums[from].add(amps, angle);
    this.sums[to].add(-amps, angle);
  }

  amps(phase: Phase): number {
    return this.sums[phase].magnitude();
  }
}
