import type { Unit } from '@lineside/fleet';
import type { ChannelValues } from '@lineside/readings';
import { clamp, Drift } from './drift.ts';
import { type RandomStream, randomStream } from './random.ts';
import { type NodeFit, PHASES, type Phase } from './scenario.ts';

/** What is true at the node's terminals at the moment of sampling. */
export interface Measurable {
  readonly airCelsius: number;
  readonly plateCelsius: number;
  readonly humidityPercent: number;
  readonly leakMilliamps: number;
  readonly resistiveMilliamps: number;
  readonly peakMilliamps: number;
  readonly burstCount: number;
  readonly amps: Readonly<Record<Phase, number>>;
  readonly lineVolts: { readonly ab: number; readonly bc: number; readonly ca: number };
  readonly groundVolts: Readonly<Record<Phase, number>>;
  readonly doorOpen: boolean;
}

/** Sensor figures of common parts; common practice, no source. */
const HUMIDITY_NOISE_PERCENT = 0.25;
const TEMPERATURE_NOISE_KELVIN = 0.05;
const LEAK_FLOOR_MILLIAMPS = 0.1;
const LEAK_NOISE_MILLIAMPS = 0.04;
const CURRENT_FLOOR_AMPS = 0.02;
const CURRENT_NOISE_AMPS = 0.006;
const VOLTAGE_NOISE_VOLTS = 0.25;

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

  sample(truth: Measurable, deadPhases: readonly Phase[], stepSeconds: number): ChannelValues {
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
      leak: this.leakAmps(truth.leakMilliamps),
    };
    for (const phase of PHASES) {
      const noise = CURRENT_NOISE_AMPS * random.gauss();
      const amps = deadPhases.includes(phase)
        ? noise
        : truth.amps[phase] * this.gains[phase] + noise;
      channels[`i${phase}`] = rounded(Math.max(0, amps), 100);
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
      for (const phase of PHASES) channels[`v${phase}n`] = volts(truth.groundVolts[phase]);
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
    const noisy = milliamps + LEAK_NOISE_MILLIAMPS * this.random.gauss();
    return rounded(Math.max(0, noisy) / 1000, 100_000);
  }
}

/** To the next multiple of 1 / perUnit, without the digits that a multiplication would leave. */
function rounded(value: number, perUnit: number): number {
  return Math.round(value * perUnit) / perUnit;
}
