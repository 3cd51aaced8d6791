import type { Unit } from '@lineside/fleet';
import type { Chance } from '../chance.ts';
import { RANGES } from '../ranges.ts';

/** What the currents of one moment leak to ground, as a vector in mA. */
export class Residual {
  readonly healthyMilliamps: number;
  private readonly angle: number;
  private readonly perKelvin: number;
  private readonly errorShare: number;
  private readonly errorAngle: number;
  private readonly turn: number;
  private x = 0;
  private y = 0;
  private xWithout = 0;
  private yWithout = 0;
  /** Sum of what is resistive, mA. */
  resistive = 0;

  constructor(chance: Chance, unit: Unit) {
    const { residual, node } = RANGES;
    const wye = unit.supply.grounding === 'solid-wye';
    const range = unit.drive
      ? residual.driveMilliamps
      : wye
        ? residual.wyeMilliamps
        : residual.otherMilliamps;
    this.healthyMilliamps = chance.decades(range);
    this.perKelvin = chance.between(residual.perKelvinShare);
    this.errorShare = chance.decades(node.loadErrorShare);
    this.angle = 2 * Math.PI * chance.uniform();
    this.errorAngle = 2 * Math.PI * chance.uniform();
    this.turn = 2 * Math.PI * chance.uniform();
  }

  /** @param times factor on the capacitive part, such as for a ground elsewhere. */
  begin(
    live: boolean,
    celsius: number,
    meanAmps: number,
    times: number,
    moreErrorShare: number,
  ): void {
    const healthy = live
      ? this.healthyMilliamps * times * (1 + this.perKelvin * (celsius - 20))
      : 0;
    const error = meanAmps * 1000 * (this.errorShare + moreErrorShare);
    this.x = healthy * Math.cos(this.angle) + error * Math.cos(this.errorAngle);
    this.y = healthy * Math.sin(this.angle) + error * Math.sin(this.errorAngle);
    this.resistive = 0.08 * healthy;
  }

  /** A resistive path of one phase. */
  add(milliamps: number, leg: number): void {
    const angle = this.turn - (leg * 2 * Math.PI) / 3;
    this.x += milliamps * Math.cos(angle);
    this.y += milliamps * Math.sin(angle);
    this.resistive += milliamps;
  }

  /** How much of the reading a path of one phase makes. */
  effectOf(milliamps: number, leg: number): number {
    const angle = this.turn - (leg * 2 * Math.PI) / 3;
    this.xWithout = this.x - milliamps * Math.cos(angle);
    this.yWithout = this.y - milliamps * Math.sin(angle);
    return Math.abs(this.milliamps - Math.hypot(this.xWithout, this.yWithout));
  }

  get milliamps(): number {
    return Math.hypot(this.x, this.y);
  }
}
