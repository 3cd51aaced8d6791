import type { Unit } from '@lineside/fleet';
import type { ChannelValues } from '@lineside/readings';
import { clamp, Drift } from './drift.ts';
import { type RandomStream, randomStream } from './random.ts';
import { type NodeFit, PHASES, type Phase } from './scenario.ts';

/** What is true at the node's terminals at the moment of sampling. Written anew at each sample. */
export interface Measurable {
  airCelsius: number;
  plateCelsius: number;
  humidityPercent: number;
  leakMilliamps: number;
  resistiveMilliamps: number;
  peakMilliamps: number;
  burstCount: number;
  readonly amps: Record<Phase, number>;
  readonly lineVolts: { ab: number; bc: number; ca: number };
  readonly groundVolts: Record<Phase, number>;
  doorOpen: boolean;
  /** The leakage sensor repeats itself without any noise. */
  frozenLeak: boolean;
}

export function emptyMeasurable(): Measurable {
  return {
    airCelsius: 0,
    plateCelsius: 0,
    humidityPercent: 0,
    leakMilliamps: 0,
    resistiveMilliamps: 0,
    peakMilliamps: 0,
    burstCount: 0,
    amps: { a: 0, b: 0, c: 0 },
    lineVolts: { ab: 0, bc: 0, ca: 0 },
    groundVolts: { a: 0, b: 0, c: 0 },
    doorOpen: false,
    frozenLeak: false,
  };
}

/** Sensor figures of common parts; common practice, no source. */
const HUMIDITY_NOISE_PERCENT = 0.25;
const TEMPERATURE_NOISE_KELVIN = 0.05;
const LEAK_FLOOR_MILLIAMPS = 0.1;
const LEAK_NOISE_MILLIAMPS = 0.04;
const CURRENT_FLOOR_AMPS = 0.02;
export const CURRENT_NOISE_AMPS: number = 0.006;
export const VOLTAGE_NOISE_VOLTS: number = 0.25;

/** A node's fit when the script does not say otherwise: about half of them have extras. */
export function nodeFit(unit: Unit, seed: number, wanted: Partial<NodeFit>): NodeFit {
  const random = randomStream(seed, `${unit.site}/${unit.id}/fit`);
  const chance = (share: number): boolean => random.uniform() < share;
  const fit: NodeFit = {
    plateSensor: chance(0.65),
    voltages: chance(0.5),
    voltagesToGround: chance(0.12),
    resistiveLeakage: chance(0.2),
    bursts: chance(0.45),
    doorSwitch: chance(0.35),
    encoding: chance(0.7) ? 'cbor' : 'json',
    loadErrorPercent: random.between(0.002, 0.008),
    leakFloorMilliamps: LEAK_FLOOR_MILLIAMPS,
    leakNoiseMilliamps: LEAK_NOISE_MILLIAMPS,
    currentFloorAmps: CURRENT_FLOOR_AMPS,
  };
  return { ...fit, ...wanted };
}

const CURRENT_CHANNELS = { a: 'ia', b: 'ib', c: 'ic' } as const;
const GROUND_CHANNELS = { a: 'van', b: 'vbn', c: 'vcn' } as const;

/** Sampling with the errors, noise and resolution of real sensors. */
export class SensorNode {
  readonly fit: NodeFit;
  private readonly unit: Unit;
  private readonly random: RandomStream;
  private readonly creep: Drift;
  private readonly humidityOffset: number;
  private readonly airOffset: number;
  private readonly plateOffset: number;
  private readonly gains: Readonly<Record<Phase, number>>;
  private batteryVolts: number;

  constructor(unit: Unit, fit: NodeFit, seed: number) {
    const key = `${unit.site}/${unit.id}/node`;
    const build = randomStream(seed, `${key}/build`);
    this.unit = unit;
    this.fit = fit;
    this.random = randomStream(seed, `${key}/noise`);
    this.creep = new Drift(randomStream(seed, `${key}/creep`), 40 * 3600, 0.5);
    this.humidityOffset = build.between(-1.2, 1.2);
    this.airOffset = build.between(-0.15, 0.15);
    this.plateOffset = build.between(-0.15, 0.15);
    const gain = (): number => 1 + build.between(-0.004, 0.004);
    this.gains = { a: gain(), b: gain(), c: gain() };
    this.batteryVolts = build.between(3.52, 3.62);
  }

  sample(truth: Measurable, stepSeconds: number): ChannelValues {
    const { fit, random } = this;
    const humidity =
      truth.humidityPercent +
      this.humidityOffset +
      this.creep.step(stepSeconds) +
      HUMIDITY_NOISE_PERCENT * random.gauss();
    const channels: Record<string, number> = {
      rh: rounded(clamp(humidity, 0, 100), 10),
      t: rounded(
        truth.airCelsius + this.airOffset + TEMPERATURE_NOISE_KELVIN * random.gauss(),
        100,
      ),
      leak: truth.frozenLeak
        ? rounded(truth.leakMilliamps / 1000, 100_000)
        : this.leakAmps(truth.leakMilliamps),
    };
    for (const phase of PHASES) {
      const amps = truth.amps[phase] * this.gains[phase] + CURRENT_NOISE_AMPS * random.gauss();
      channels[CURRENT_CHANNELS[phase]] = amps < fit.currentFloorAmps ? 0 : rounded(amps, 100);
    }
    if (fit.plateSensor) {
      const noise = TEMPERATURE_NOISE_KELVIN * random.gauss();
      channels['tp'] = rounded(truth.plateCelsius + this.plateOffset + noise, 100);
    }
    this.addExtras(channels, truth, stepSeconds);
    return channels;
  }

  private addExtras(
    channels: Record<string, number>,
    truth: Measurable,
    stepSeconds: number,
  ): void {
    const { fit, random } = this;
    const volts = (value: number): number =>
      rounded(Math.max(0, value + VOLTAGE_NOISE_VOLTS * random.gauss()), 10);
    if (fit.resistiveLeakage) channels['leakr'] = this.leakAmps(truth.resistiveMilliamps);
    if (fit.bursts) {
      channels['leakmax'] = Math.max(
        channels['leak'] ?? 0,
        this.leakAmps(truth.peakMilliamps * (1 + 0.02 * random.uniform())),
      );
      channels['bursts'] = truth.burstCount;
    }
    if (fit.voltages) {
      channels['vab'] = volts(truth.lineVolts.ab);
      channels['vbc'] = volts(truth.lineVolts.bc);
      channels['vca'] = volts(truth.lineVolts.ca);
    }
    if (fit.voltagesToGround) {
      for (const phase of PHASES) {
        channels[GROUND_CHANNELS[phase]] = volts(truth.groundVolts[phase]);
      }
    }
    if (fit.doorSwitch) channels['door'] = truth.doorOpen ? 1 : 0;
    if (this.unit.nodeSupply === 'battery') {
      // A lithium cell falls by about a tenth of a volt a year, and sags in the cold.
      this.batteryVolts -= (0.1 * stepSeconds) / (365 * 86_400);
      channels['batt'] = rounded(this.batteryVolts + 0.0015 * (truth.airCelsius - 20), 1000);
    }
  }

  /** A with a resolution of 10 microamps. */
  private leakAmps(milliamps: number): number {
    const noisy = milliamps + this.fit.leakNoiseMilliamps * this.random.gauss();
    return noisy < this.fit.leakFloorMilliamps ? 0 : rounded(noisy / 1000, 100_000);
  }
}

/** To the next multiple of 1 / perUnit, without the digits that a multiplication would leave. */
function rounded(value: number, perUnit: number): number {
  return Math.round(value * perUnit) / perUnit;
}
