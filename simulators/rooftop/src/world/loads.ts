import type { Unit } from '@lineside/fleet';
import { clamp, Drift } from './drift.ts';
import type { Feed } from './feed.ts';
import { during, type LookAlike } from './look-alike-kinds.ts';
import { type RandomStream, randomStream } from './random.ts';
import { Thermostat } from './thermostat.ts';
import type { Weather } from './weather.ts';

/** One load behind one contactor. */
export interface Load {
  readonly kind: 'compressor' | 'fan' | 'heater';
  readonly contactor: number;
  readonly fullLoadAmps: number;
  /** A load of two poles is single-phase, between b and c. */
  readonly singlePhase: boolean;
  running: boolean;
  /** Pulled in within the last step. */
  started: boolean;
  /** Seconds with a phase missing; past the protector's time it trips. */
  strainedSeconds: number;
  tripped: boolean;
}

type SafetyStop = LookAlike & { readonly kind: 'safety-stop' };

/** The contactors of one unit: which load runs, and how hard. */
export class LoadBank {
  readonly loads: readonly Load[];
  readonly thermostat: Thermostat;
  /** Sum of the full-load amps. */
  readonly fullLoadAmps: number;
  /** Fan speed of a unit with a drive, 0 to 1. */
  driveSpeed = 0;
  /** True when a load was pulled in within the last step. */
  started = false;
  /** How one motor differs between its phases. */
  readonly evenness: number;
  private readonly drive: boolean;
  private readonly heats: boolean;
  private readonly stops: readonly SafetyStop[];
  private readonly strength: Drift;
  private readonly protectorSeconds: number;
  private compressors = 0;
  private running = 0;
  private fans = 0;

  constructor(unit: Unit, lookAlikes: readonly LookAlike[], seed: number) {
    const key = `${unit.site}/${unit.id}/loads`;
    const random: RandomStream = randomStream(seed, key);
    this.drive = unit.drive;
    this.loads = loadsOf(unit);
    this.fullLoadAmps = this.loads.reduce((sum, load) => sum + load.fullLoadAmps, 0);
    const count = (kind: Load['kind']): number =>
      this.loads.filter((load) => load.kind === kind).length;
    this.heats = count('heater') > 0;
    this.thermostat = new Thermostat(Math.max(count('compressor'), count('heater')), random);
    this.protectorSeconds = random.between(160, 280);
    this.evenness = random.between(-0.012, 0.012);
    this.strength = new Drift(randomStream(seed, `${key}/strength`), 900, 0.012);
    this.stops = lookAlikes.filter((lookAlike) => lookAlike.kind === 'safety-stop');
  }

  /** Moves the contactors. Gives how strongly motors pull now, about 1. */
  step(weather: Weather, solarHour: number, feed: Feed, atMs: number, stepSeconds: number): number {
    const powered = feed.controlLive();
    const whole = feed.livePhases() === 3;
    const { thermostat } = this;
    thermostat.step(weather, solarHour, powered, stepSeconds);
    this.driveSpeed = clamp(0.45 + 0.6 * thermostat.demand, 0.4, 1);
    this.started = false;
    this.compressors = 0;
    this.running = 0;
    this.fans = 0;
    let compressor = 0;
    let heater = 0;
    for (const load of this.loads) {
      let stage = 0;
      if (load.kind === 'compressor') stage = compressor++;
      else if (load.kind === 'heater') stage = heater++;
      const wanted = powered && this.wants(load, stage) && !this.stopped(load, atMs);
      this.move(load, wanted, whole, stepSeconds);
      if (!load.running) continue;
      this.running += 1;
      if (load.kind === 'compressor') this.compressors += 1;
      else if (load.kind === 'fan') this.fans += 1;
    }
    return 1 + this.strength.step(stepSeconds);
  }

  ampsOf(load: Load, weather: Weather, strength: number): number {
    if (load.kind === 'heater') return load.fullLoadAmps;
    if (load.kind === 'fan') {
      const speed = this.drive ? this.driveSpeed ** 2.2 : 1;
      return 0.78 * load.fullLoadAmps * speed * strength;
    }
    return load.fullLoadAmps * clamp(0.66 + 0.008 * weather.celsius, 0.55, 1) * strength;
  }

  compressorsRunning(): number {
    return this.compressors;
  }

  loadsRunning(): number {
    return this.running;
  }

  fanRuns(): boolean {
    return this.fans > 0;
  }

  private wants(load: Load, stage: number): boolean {
    const { thermostat } = this;
    const byHeaters = this.heats && thermostat.heating;
    switch (load.kind) {
      case 'compressor':
        return !byHeaters && thermostat.stages[stage] === true;
      case 'heater':
        return byHeaters && thermostat.stages[stage] === true;
      case 'fan':
        return thermostat.occupied || thermostat.calling;
    }
  }

  private stopped(load: Load, atMs: number): boolean {
    for (const stop of this.stops) {
      if (!during(stop, atMs)) continue;
      if (stop.contactor === undefined || stop.contactor === load.contactor) return true;
    }
    return false;
  }

  private move(load: Load, wanted: boolean, whole: boolean, stepSeconds: number): void {
    if (whole) {
      load.tripped = false;
      load.strainedSeconds = 0;
    }
    const runs = wanted && !load.tripped;
    load.started = runs && !load.running;
    if (load.started) this.started = true;
    load.running = runs;
    if (!runs || whole || load.kind === 'heater') return;
    load.strainedSeconds += stepSeconds;
    if (load.strainedSeconds > this.protectorSeconds) {
      load.tripped = true;
      load.running = false;
    }
  }
}

/** Loads by the contactors of the nameplate; without any, one compressor and one fan by its MCA. */
function loadsOf(unit: Unit): Load[] {
  if (unit.contactors.length === 0) {
    const amps = unit.supply.mcaAmps ?? 30;
    return [loadOf('compressor', 0, 0.55 * amps, 3), loadOf('fan', 1, 0.15 * amps, 3)];
  }
  return unit.contactors.map((contactor, index) => {
    const kind = kindOf(contactor.load ?? contactor.name);
    return loadOf(kind, index, contactor.flaAmps ?? USUAL_AMPS[kind], contactor.poles);
  });
}

/** Full-load amps of a load whose nameplate is missing (assumptions). */
const USUAL_AMPS: Readonly<Record<Load['kind'], number>> = { compressor: 16, fan: 5, heater: 20 };

function kindOf(name: string): Load['kind'] {
  if (/compressor/i.test(name)) return 'compressor';
  return /heat/i.test(name) ? 'heater' : 'fan';
}

function loadOf(
  kind: Load['kind'],
  contactor: number,
  fullLoadAmps: number,
  poles: number | null,
): Load {
  return {
    kind,
    contactor,
    fullLoadAmps,
    singlePhase: poles === 2,
    running: false,
    started: false,
    strainedSeconds: 0,
    tripped: false,
  };
}
