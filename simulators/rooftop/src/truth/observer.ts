import { saturationOverWaterPascals } from '@lineside/physics';
import type { CompartmentState } from '../world/compartment-state.ts';
import type { ElectricalSide } from '../world/electrical.ts';
import { type Fault, stands } from '../world/fault-kinds.ts';
import { CURRENT_NOISE_AMPS, VOLTAGE_NOISE_VOLTS } from '../world/node.ts';
import { type NodeFit, PHASES, type Phase } from '../world/scenario.ts';
import type { SensorFaults } from '../world/sensor-faults.ts';
import type { Weather } from '../world/weather.ts';
import type { FaultLog } from './fault-log.ts';

/** A deposit is wet from this wetness on. */
const WET_DEPOSIT = 0.05;
const WET_FILM_GRAMS_PER_SQUARE_METRE = 1;
const SOAKED = 0.3;
const NOISES = 3;
/** How far a load's phases wander against each other between readings, share. */
const LOAD_WANDER = 0.005;
/** Error of two humidity sensors, share of saturation. */
const HUMIDITY_ERROR = 0.03;
/** A motor's current moves by so many times the voltage (see the loads). */
const VOLTAGE_AMPLIFICATION = 6;

/** What an observer looks at, at one sample. */
export interface Moment {
  readonly atMs: number;
  /** The node measured and sent. */
  readonly sent: boolean;
  readonly compartment: Readonly<CompartmentState>;
  readonly weather: Weather;
}

/** Decides at each sample which faults show, by the rules of `FAULT_RULES`. */
export class Observer {
  private readonly faults: readonly Fault[];
  private readonly fit: NodeFit;
  private readonly electrical: ElectricalSide;
  private readonly sensors: SensorFaults;
  private readonly log: FaultLog;
  private readonly leakThreshold: number;
  private readonly ampsThreshold: number;

  constructor(
    faults: readonly Fault[],
    fit: NodeFit,
    electrical: ElectricalSide,
    sensors: SensorFaults,
    log: FaultLog,
  ) {
    this.faults = faults;
    this.fit = fit;
    this.electrical = electrical;
    this.sensors = sensors;
    this.log = log;
    this.leakThreshold = Math.max(fit.leakFloorMilliamps, NOISES * fit.leakNoiseMilliamps);
    this.ampsThreshold = Math.max(fit.currentFloorAmps, NOISES * CURRENT_NOISE_AMPS);
  }

  look(moment: Moment): void {
    const { log } = this;
    for (let index = 0; index < this.faults.length; index += 1) {
      const fault = this.faults[index];
      if (fault === undefined || log.hasEnded(index)) continue;
      if (this.shows(fault, index, moment))
        log.observed(index, moment.atMs, this.wet(fault, index, moment));
    }
  }

  private shows(fault: Fault, index: number, moment: Moment): boolean {
    if (fault.kind === 'network-outage') return stands(fault, moment.atMs);
    if (fault.kind === 'node-dead') return moment.atMs >= fault.fromMs;
    if (isFuseFault(fault)) return this.fuseShows(index);
    if (!moment.sent) return false;
    switch (fault.kind) {
      case 'track-to-ground':
      case 'load-insulation':
      case 'vermin':
        return this.leakageShows(index);
      case 'track-between-poles':
        return this.poleTrackShows(index);
      case 'water-ingress':
        return waterShows(moment);
      case 'loose-terminal':
      case 'worn-pole':
        return this.contactShows(fault.contactor, index);
      case 'disconnect-open':
        return stands(fault, moment.atMs);
      case 'supply-unbalance':
        return stands(fault, moment.atMs) && this.unbalanceShows(fault.lowPercent);
      case 'utility-phase-lost':
        return stands(fault, moment.atMs);
      default:
        return this.sensorShows(fault, index);
    }
  }

  private leakageShows(index: number): boolean {
    const { electrical, fit, leakThreshold } = this;
    const path =
      electrical.tracks.tracks.find((track) => track.index === index)?.path ??
      electrical.grounds.paths.find(({ fault }) => fault === index);
    if (path === undefined || path === null) return false;
    if (fit.resistiveLeakage && 1000 * Math.hypot(path.x, path.y) > leakThreshold) return true;
    return electrical.effectOf(path) > leakThreshold;
  }

  private poleTrackShows(index: number): boolean {
    const { electrical } = this;
    if (electrical.loads.loadsRunning() > 0) return false;
    const track = electrical.tracks.tracks.find((one) => one.index === index);
    return track !== undefined && track.state.milliamps / 1000 > this.ampsThreshold;
  }

  private fuseShows(index: number): boolean {
    const { failed, ampsBefore } = this.log.failedWith(index);
    if (!failed || this.electrical.feed.openedAtMs === null) return false;
    return ampsBefore > this.ampsThreshold || this.electrical.loads.loadsRunning() > 0;
  }

  private contactShows(contactor: number, index: number): boolean {
    const { electrical } = this;
    if (electrical.loads.loads[contactor]?.running !== true) return false;
    const amps = this.meanAmps();
    const share = electrical.connections.shares().find((one) => one.index === index)?.share ?? 0;
    return share > NOISES * LOAD_WANDER && share * amps > this.ampsThreshold;
  }

  private unbalanceShows(lowPercent: number): boolean {
    const { electrical, fit } = this;
    const low = lowPercent / 100;
    if (electrical.feed.livePhases() < 3) return false;
    if (fit.voltages || fit.voltagesToGround) {
      const lineVolts = electrical.supply.lineVolts('a', 'b');
      return (lineVolts * low) / 2 > NOISES * VOLTAGE_NOISE_VOLTS;
    }
    if (electrical.loads.loadsRunning() === 0) return false;
    return VOLTAGE_AMPLIFICATION * low > NOISES * LOAD_WANDER;
  }

  private sensorShows(fault: Fault, index: number): boolean {
    const effect = this.sensors.entries.find((entry) => entry.index === index)?.effect ?? 0;
    switch (fault.kind) {
      case 'leak-sensor-fault':
        return effect > this.leakThreshold;
      case 'transformer-slipped':
        return effect > (fault.on === 'leak' ? this.leakThreshold : this.ampsThreshold);
      case 'sensor-jump': {
        if (effect === 0) return false;
        if (fault.channel === 'leak') return effect > this.leakThreshold;
        return fault.channel === 'rh' || fault.channel === 't' || effect > this.ampsThreshold;
      }
      case 'humidity-sticks':
        return effect > 100 * HUMIDITY_ERROR;
      case 'current-sensor-dead':
      case 'transformers-swapped':
        return effect > this.ampsThreshold;
      default:
        return false;
    }
  }

  private wet(fault: Fault, index: number, { compartment }: Moment): boolean {
    if (fault.kind === 'track-to-ground' || fault.kind === 'track-between-poles') {
      const track = this.electrical.tracks.tracks.find((one) => one.index === index);
      return track !== undefined && track.state.wetness > WET_DEPOSIT;
    }
    if (fault.kind === 'water-ingress') {
      return compartment.filmGramsPerSquareMetre > WET_FILM_GRAMS_PER_SQUARE_METRE;
    }
    if (fault.kind !== 'load-insulation') return false;
    return (fault.rainFactor ?? 1) > 1 && this.electrical.grounds.soaked > SOAKED;
  }

  private meanAmps(): number {
    const { currents } = this.electrical;
    return PHASES.reduce((sum: number, phase: Phase) => sum + currents.amps(phase), 0) / 3;
  }
}

function isFuseFault(fault: Fault): boolean {
  return (
    fault.kind === 'open-fuse' ||
    fault.kind === 'fuses-gone' ||
    fault.kind === 'hot-fuse-clip' ||
    fault.kind === 'compressor-grounded'
  );
}

function waterShows({ compartment, weather }: Moment): boolean {
  const { airCelsius, filmGramsPerSquareMetre, poolGrams, snowGrams, vapourPascals } = compartment;
  if (poolGrams + snowGrams < 1 && filmGramsPerSquareMetre < WET_FILM_GRAMS_PER_SQUARE_METRE) {
    return false;
  }
  const error = HUMIDITY_ERROR * saturationOverWaterPascals(airCelsius);
  return vapourPascals - weather.vapourPascals > error;
}
