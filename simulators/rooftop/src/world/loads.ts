import type { Unit } from '@lineside/fleet';
import { clamp, Drift } from './drift.ts';
import type { Feed } from './feed.ts';
import type { PhaseCurrents } from './phasor.ts';
import { type RandomStream, randomStream } from './random.ts';
import { PHASES, type Phase } from './scenario.ts';
import { Thermostat } from './thermostat.ts';
import type { Weather } from './weather.ts';

/** One load behind one contactor. */
export interface Load {
  readonly kind: 'compressor' | 'fan';
  readonly contactor: number;
  readonly fullLoadAmps: number;
  /** A load of two poles is single-phase, between b and c. */
  readonly singlePhase: boolean;
  running: boolean;
  /** Seconds with a phase missing; past the protector's time it trips. */
  strainedSeconds: number;
  tripped: boolean;
}

/** What a fault does to a load's current: a factor for each phase. */
export type LoadFactors = (contactor: number, phase: Phase) => number;

const CONTROL_TRANSFORMER_VA = 95;
const COIL_VA = 18;
const CRANKCASE_HEATER_WATTS = 85;
/** Motors run at a power factor near 0.87. */
const MOTOR_LAG_RADIANS: number = Math.PI / 6;
/** A motor that lost a phase draws so much more in the other two. */
const SINGLE_PHASING_FACTOR = Math.sqrt(3);
/** A motor's current deviates by so many times the voltage's (common practice: 6 to 10). */
const VOLTAGE_AMPLIFICATION = 6;

/** Compressors, fans, control transformer and crankcase heaters of one unit. */
export class LoadBank {
  readonly loads: readonly Load[];
  readonly thermostat: Thermostat;
  /** Fan speed of a unit with a drive, 0 to 1. */
  driveSpeed = 0;
  /** True when a load was pulled in within the last step. */
  started = false;
  private readonly unit: Unit;
  private readonly strength: Drift;
  private readonly protectorSeconds: number;
  private readonly evenness: number;

  constructor(unit: Unit, seed: number) {
    const key = `${unit.site}/${unit.id}/loads`;
    const random: RandomStream = randomStream(seed, key);
    this.unit = unit;
    this.loads = loadsOf(unit);
    const stages = this.loads.filter((load) => load.kind === 'compressor').length;
    this.thermostat = new Thermostat(stages, random);
    this.protectorSeconds = random.between(160, 280);
    this.evenness = random.between(-0.012, 0.012);
    this.strength = new Drift(randomStream(seed, `${key}/strength`), 900, 0.012);
  }

  /** Moves contactors and adds everything that draws current to `currents`. */
  step(
    weather: Weather,
    solarHour: number,
    feed: Feed,
    voltageShares: Readonly<Record<Phase, number>>,
    factors: LoadFactors,
    currents: PhaseCurrents,
    stepSeconds: number,
  ): void {
    const powered = feed.controlLive();
    this.thermostat.step(weather, solarHour, powered, stepSeconds);
    const strength = 1 + this.strength.step(stepSeconds);
    this.driveSpeed = clamp(0.45 + 0.6 * this.thermostat.demand, 0.4, 1);
    this.started = false;
    let stage = 0;
    let coils = 0;
    for (const load of this.loads) {
      const wanted =
        load.kind === 'compressor'
          ? this.thermostat.stages[stage++] === true
          : this.thermostat.occupied || this.thermostat.stages.some(Boolean);
      this.stepLoad(load, wanted && powered, feed, stepSeconds);
      if (!load.running) continue;
      coils += 1;
      const amps = this.ampsOf(load, weather, strength);
      this.draw(load, amps, feed, voltageShares, factors, currents);
    }
    this.drawControl(powered, coils, feed, currents);
  }

  compressorsRunning(): number {
    return this.loads.filter((load) => load.kind === 'compressor' && load.running).length;
  }

  loadsRunning(): number {
    return this.loads.filter((load) => load.running).length;
  }

  private stepLoad(load: Load, wanted: boolean, feed: Feed, stepSeconds: number): void {
    const whole = feed.livePhases() === 3;
    if (whole) {
      load.tripped = false;
      load.strainedSeconds = 0;
    }
    const runs = wanted && !load.tripped;
    if (runs && !load.running) this.started = true;
    load.running = runs;
    if (!runs || whole) return;
    load.strainedSeconds += stepSeconds;
    if (load.strainedSeconds > this.protectorSeconds) {
      load.tripped = true;
      load.running = false;
    }
  }

  private ampsOf(load: Load, weather: Weather, strength: number): number {
    if (load.kind === 'fan') {
      const speed = this.unit.drive ? this.driveSpeed ** 2.2 : 1;
      return 0.78 * load.fullLoadAmps * speed * strength;
    }
    return load.fullLoadAmps * clamp(0.66 + 0.008 * weather.celsius, 0.55, 1) * strength;
  }

  private draw(
    load: Load,
    amps: number,
    feed: Feed,
    voltageShares: Readonly<Record<Phase, number>>,
    factors: LoadFactors,
    currents: PhaseCurrents,
  ): void {
    if (load.singlePhase) {
      if (feed.live('b') && feed.live('c')) {
        currents.addBetween('b', 'c', amps * factors(load.contactor, 'b'), MOTOR_LAG_RADIANS);
      }
      return;
    }
    const live = PHASES.filter((phase) => feed.live(phase));
    const [from, to] = live;
    if (live.length === 2 && from !== undefined && to !== undefined) {
      currents.addBetween(from, to, SINGLE_PHASING_FACTOR * amps, MOTOR_LAG_RADIANS);
      return;
    }
    const mean = (voltageShares.a + voltageShares.b + voltageShares.c) / 3;
    for (const phase of live) {
      const byVoltage = 1 + VOLTAGE_AMPLIFICATION * (voltageShares[phase] - mean);
      const byBuild = phase === 'a' ? 1 + this.evenness : 1 - this.evenness / 2;
      const share = byVoltage * byBuild * factors(load.contactor, phase);
      currents.addToPhase(phase, amps * share, MOTOR_LAG_RADIANS);
    }
  }

  private drawControl(powered: boolean, coils: number, feed: Feed, currents: PhaseCurrents): void {
    const { volts } = this.unit.supply;
    if (powered) {
      currents.addBetween('a', 'b', (CONTROL_TRANSFORMER_VA + COIL_VA * coils) / volts, 0.5);
    }
    if (!feed.live('b') || !feed.live('c')) return;
    for (const load of this.loads) {
      if (load.kind === 'compressor' && !load.running) {
        currents.addBetween('b', 'c', CRANKCASE_HEATER_WATTS / volts, 0);
      }
    }
  }
}

/** Loads by the contactors of the nameplate; without any, one compressor and one fan by its MCA. */
function loadsOf(unit: Unit): Load[] {
  const load = (
    kind: Load['kind'],
    contactor: number,
    amps: number,
    poles: number | null,
  ): Load => ({
    kind,
    contactor,
    fullLoadAmps: amps,
    singlePhase: poles === 2,
    running: false,
    strainedSeconds: 0,
    tripped: false,
  });
  if (unit.contactors.length === 0) {
    const amps = unit.supply.mcaAmps ?? 30;
    return [load('compressor', 0, 0.55 * amps, 3), load('fan', 1, 0.15 * amps, 3)];
  }
  return unit.contactors.map((contactor, index) => {
    const kind = /compressor/i.test(contactor.load ?? contactor.name) ? 'compressor' : 'fan';
    const usual = kind === 'compressor' ? 16 : 5;
    return load(kind, index, contactor.flaAmps ?? usual, contactor.poles);
  });
}
