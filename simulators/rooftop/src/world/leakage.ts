import type { Unit } from '@lineside/fleet';
import { type GroundDrive, groundDrive, healthyResidualFactor } from './grounding.ts';
import type { LoadBank } from './loads.ts';
import { PhasorSum } from './phasor.ts';
import { randomStream } from './random.ts';
import type { Phase } from './scenario.ts';

/** A current to ground at the angle of its phase. */
export interface GroundCurrent {
  readonly phase: Phase;
  readonly milliamps: number;
}

export interface Residual {
  readonly milliamps: number;
  /** Its part in phase with the voltages that drive it. */
  readonly resistiveMilliamps: number;
}

/** What a unit leaks without any fault, and how fault currents add to it. */
export class LeakagePath {
  readonly drives: Readonly<Record<Phase, GroundDrive>>;
  private readonly unit: Unit;
  private readonly baseMilliamps: number;
  private readonly baseAngle: number;
  private readonly runMilliamps: number;
  private readonly filmMicrosiemens: number;
  private readonly filmPhase: Phase;
  private readonly filterMilliamps: number;
  private readonly speedMilliamps: number;
  private readonly errorAngle: number;
  private readonly total = new PhasorSum();
  private readonly resistive = new PhasorSum();

  constructor(unit: Unit, seed: number) {
    const random = randomStream(seed, `${unit.site}/${unit.id}/leakage`);
    const factor = healthyResidualFactor(unit.supply);
    this.unit = unit;
    this.drives = {
      a: groundDrive(unit.supply, 'a'),
      b: groundDrive(unit.supply, 'b'),
      c: groundDrive(unit.supply, 'c'),
    };
    this.baseMilliamps = factor * random.between(0.3, 1.5);
    this.baseAngle = random.between(0, 2 * Math.PI);
    this.runMilliamps = factor * random.between(0.05, 0.35);
    this.filmMicrosiemens = random.between(0.2, 0.9);
    this.filmPhase = random.uniform() < 0.5 ? 'a' : 'c';
    this.filterMilliamps = unit.drive ? random.between(5, 11) : 0;
    this.speedMilliamps = unit.drive ? random.between(4, 9) : 0;
    this.errorAngle = random.between(0, 2 * Math.PI);
  }

  /**
   * The sum of everything as the common-window transformer sees it.
   *
   * @param wetness of a clean surface in the compartment, see `balancedWetness`.
   * @param loadErrorMilliamps the sensor's own error from the load current.
   */
  residual(
    energised: boolean,
    loads: LoadBank,
    wetness: number,
    faults: readonly GroundCurrent[],
    loadErrorMilliamps: number,
  ): Residual {
    this.total.clear();
    this.resistive.clear();
    if (energised) {
      const capacitive = this.baseMilliamps + this.runMilliamps * loads.loadsRunning();
      this.total.add(capacitive, this.baseAngle);
      const film = (this.drives[this.filmPhase].volts * this.filmMicrosiemens * wetness) / 1000;
      this.addResistive(this.filmPhase, film);
      if (this.unit.drive) this.addDrive(loads);
      this.total.add(loadErrorMilliamps, this.errorAngle);
    }
    for (const fault of faults) this.addResistive(fault.phase, fault.milliamps);
    return {
      milliamps: this.total.magnitude(),
      resistiveMilliamps: this.resistive.magnitude(),
    };
  }

  private addResistive(phase: Phase, milliamps: number): void {
    const angle = this.drives[phase].angleRadians;
    this.total.add(milliamps, angle);
    this.resistive.add(milliamps, angle);
  }

  private addDrive(loads: LoadBank): void {
    const fans = loads.loads.some((load) => load.kind === 'fan' && load.running);
    const speed = fans ? this.speedMilliamps * loads.driveSpeed : 0;
    this.total.add(this.filterMilliamps + speed, this.baseAngle + 0.4);
  }
}
