import type { Unit } from '@lineside/fleet';
import type { ChannelValues } from '@lineside/readings';
import type { Chance } from '../chance.ts';
import { LEGS } from '../plan.ts';
import { RANGES } from '../ranges.ts';
import { magnusPascals } from '../weather/magnus.ts';
import type { PlainCompartment } from './compartment.ts';

const CURRENT_FLOOR_AMPS = 0.03;

/** What is there to be measured, the errors of the sensors left out. */
export interface Measurable {
  readonly inside: PlainCompartment;
  readonly amps: readonly [number, number, number];
  readonly leakMilliamps: number;
  readonly resistiveMilliamps: number;
  readonly unrest: number;
  /** Share of nominal voltage between a-b, b-c, c-a. */
  readonly lineShares: readonly [number, number, number];
  readonly groundShares: readonly [number, number, number];
  readonly doorOpen: boolean;
}

/** The sensors of one unit: offsets, noise, steps and which of them there are. */
export class PlainNode {
  readonly cadenceMs: number;
  readonly jitterMs: number;
  readonly lostShare: number;
  readonly leakFloor: number;
  readonly leakNoise: number;
  readonly ampsNoise: number;
  readonly hasVoltages: boolean;
  readonly hasResistive: boolean;
  private readonly hasGroundVolts: boolean;
  private readonly hasPlate: boolean;
  private readonly hasBursts: boolean;
  private readonly hasDoor: boolean;
  private readonly leakStep: number;
  private readonly ampsStep: number;
  private readonly humidityOffset: number;
  private readonly temperatureOffset: number;
  private readonly gains: readonly number[];
  private readonly chance: Chance;
  private readonly volts: number;

  constructor(chance: Chance, unit: Unit) {
    const { node } = RANGES;
    this.chance = chance;
    this.volts = unit.supply.volts;
    this.cadenceMs = 1000 * Math.round(chance.between(node.cadenceSeconds));
    this.jitterMs = 1000 * chance.between(node.jitterSeconds);
    this.lostShare = chance.between(node.lostShare);
    this.leakFloor = chance.between(node.leakFloorMilliamps);
    this.leakNoise = chance.between(node.leakNoiseMilliamps);
    this.ampsNoise = chance.between(node.ampsNoise);
    this.hasVoltages = chance.happens(0.4);
    this.hasGroundVolts = chance.happens(0.15);
    this.hasResistive = chance.happens(0.2);
    this.hasPlate = chance.happens(0.6);
    this.hasBursts = chance.happens(0.3);
    this.hasDoor = chance.happens(0.3);
    this.leakStep = chance.pick([0.01, 0.02, 0.05, 0.1]);
    this.ampsStep = chance.pick([0.01, 0.02, 0.05]);
    this.humidityOffset = chance.between(node.humidityOffsetPercent);
    this.temperatureOffset = chance.between(node.temperatureOffsetKelvin);
    this.gains = LEGS.map(() => 1 + 0.005 * chance.normal());
  }

  measure(world: Measurable): Record<string, number> {
    const { chance } = this;
    const { inside } = world;
    const most = magnusPascals(inside.airCelsius);
    const percent = (100 * inside.vapourPascals) / most;
    const humid = percent + this.humidityOffset + 0.3 * chance.normal();
    const out: Record<string, number> = {
      rh: stepped(Math.min(100, Math.max(0, humid)), 0.1),
      t: stepped(inside.airCelsius + this.temperatureOffset + 0.05 * chance.normal(), 0.1),
      leak: this.leak(world.leakMilliamps),
      ia: this.amps(world.amps[0], 0),
      ib: this.amps(world.amps[1], 1),
      ic: this.amps(world.amps[2], 2),
    };
    if (this.hasPlate) out['tp'] = stepped(inside.plateCelsius + 0.1 * chance.normal(), 0.1);
    if (this.hasResistive) out['leakr'] = this.leak(world.resistiveMilliamps);
    if (this.hasBursts) this.bursts(world, out);
    if (this.hasDoor) out['door'] = world.doorOpen ? 1 : 0;
    if (this.hasVoltages) {
      out['vab'] = this.voltage(world.lineShares[0] * this.volts);
      out['vbc'] = this.voltage(world.lineShares[1] * this.volts);
      out['vca'] = this.voltage(world.lineShares[2] * this.volts);
    }
    if (this.hasGroundVolts) {
      out['van'] = this.voltage(world.groundShares[0] * this.volts);
      out['vbn'] = this.voltage(world.groundShares[1] * this.volts);
      out['vcn'] = this.voltage(world.groundShares[2] * this.volts);
    }
    return out;
  }

  private leak(milliamps: number): number {
    const noisy = Math.abs(milliamps + this.leakNoise * this.chance.normal());
    return stepped(noisy < this.leakFloor ? 0 : noisy, this.leakStep) / 1000;
  }

  private amps(amps: number, leg: number): number {
    const noise = this.ampsNoise * this.chance.normal() + 0.002 * amps * this.chance.normal();
    const read = amps * (this.gains[leg] ?? 1) + (amps > 0 ? noise : 0);
    return read < CURRENT_FLOOR_AMPS ? 0 : stepped(read, this.ampsStep);
  }

  private voltage(volts: number): number {
    return volts < 2 ? 0 : stepped(volts + 0.3 * this.chance.normal(), 0.1);
  }

  private bursts(world: Measurable, out: Record<string, number>): void {
    const sparks = world.unrest * Math.sqrt(world.resistiveMilliamps);
    const rate = world.unrest > 0.15 ? 3 * sparks : 0;
    out['bursts'] = Math.round(rate * (0.5 + this.chance.uniform()));
    const peak = world.leakMilliamps * (1 + world.unrest * this.chance.waiting(0.5));
    out['leakmax'] = this.leak(Math.max(peak, world.leakMilliamps));
  }
}

/** A plain record as channel values: the same object, named. */
export function asChannels(values: Record<string, number>): ChannelValues {
  return values;
}

function stepped(value: number, step: number): number {
  return Math.round(Math.round(value / step) * step * 1e6) / 1e6;
}
