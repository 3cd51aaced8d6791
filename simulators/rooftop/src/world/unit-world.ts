import type { Unit } from '@lineside/fleet';
import type { ChannelValues } from '@lineside/readings';
import { FaultLog } from '../truth/fault-log.ts';
import { lookAlikeTruth } from '../truth/look-alike-truth.ts';
import { LossObserver } from '../truth/loss-observer.ts';
import { Observer } from '../truth/observer.ts';
import { Spells } from '../truth/spells.ts';
import type { UnitRunTruth, VisitTruth, WettingTruth } from '../truth/truth.ts';
import { UnbalanceLog } from '../truth/unbalance-log.ts';
import { Compartment } from './compartment.ts';
import type { CompartmentState } from './compartment-state.ts';
import { balancedWetness, followWetness } from './deposits.ts';
import { ElectricalSide } from './electrical.ts';
import { stands } from './fault-kinds.ts';
import type { Residual } from './leakage.ts';
import { arrivalMs, isLost, isRepeated } from './link.ts';
import { measure } from './measure.ts';
import { emptyMeasurable, nodeFit, SensorNode } from './node.ts';
import { type RandomStream, randomStream } from './random.ts';
import { ENDS } from './repairs.ts';
import type { NodeFit, Phase, UnitScript, VisitEffect } from './scenario.ts';
import { clockTime, SensorFaults } from './sensor-faults.ts';
import { PLAIN_SURROUNDINGS, type Surroundings } from './surroundings.ts';
import { type Hands, type ServiceRecord, Technician } from './technician.ts';
import type { TrackTruth } from './track-bank.ts';
import type { TransformerBus } from './transformer-bus.ts';
import type { Weather } from './weather.ts';
import { WettingLog } from './wetting-log.ts';

/** What a node sends for one event time. */
export interface SimulatedReading {
  readonly atMs: number;
  readonly channels: ChannelValues;
}

/** The state of a unit as it truly is. */
export interface UnitTruth {
  readonly compartment: Readonly<CompartmentState>;
  readonly tracks: readonly TrackTruth[];
  readonly openFuses: readonly Phase[];
  readonly residual: Residual;
  readonly compressorsRunning: number;
  readonly loadsRunning: number;
}

/** The longest step: longer gaps would skip whole starts and melts. */
const LONGEST_STEP_MS = 60_000;
const CLEAN_WETTING_POINT_PERCENT = 72;
const WHOLE: readonly Phase[] = [];

/** What surrounds a unit in its world. */
export interface UnitPlace {
  readonly weatherAt: (atMs: number) => Weather;
  readonly solarHourAt: (atMs: number) => number;
  /** Shared with other units of the site; null: a transformer of its own. */
  readonly transformer: TransformerBus | null;
}

/** One rooftop unit with its compartment, loads, faults and node. Steps forward only. */
export class UnitWorld {
  readonly unit: Unit;
  readonly script: UnitScript;
  readonly fit: NodeFit;
  /** Each node samples at its own second of the minute. */
  readonly sampleOffsetMs: number;
  private readonly startMs: number;
  private readonly place: UnitPlace;
  private readonly surroundings: Surroundings;
  private readonly compartment: Compartment;
  private readonly wettingLog: WettingLog;
  private readonly electrical: ElectricalSide;
  private readonly node: SensorNode;
  private readonly sensorFaults: SensorFaults;
  private readonly technician: Technician;
  private readonly faultLog: FaultLog;
  private readonly observer: Observer;
  private readonly lossObserver: LossObserver;
  private readonly unbalanceLog: UnbalanceLog;
  private readonly link: RandomStream;
  private readonly hands: Hands;
  private readonly visits: VisitTruth[] = [];
  private readonly neighbourGrounds = new Spells();
  private readonly measurable = emptyMeasurable();
  private readonly heat = { airWatts: 0, plateWatts: 0 };
  private handsOff = true;
  private revivedAtMs: number = Number.NEGATIVE_INFINITY;
  private cleanWetness = 0;
  private lastMs: number;

  constructor(unit: Unit, script: UnitScript, seed: number, startMs: number, place: UnitPlace) {
    const key = `${unit.site}/${unit.id}`;
    const random = randomStream(seed, `${key}/build`);
    this.unit = unit;
    this.script = script;
    this.startMs = startMs;
    this.place = place;
    const build = {
      airChangesPerHour: random.between(1.2, 2.6),
      windAirChanges: random.between(0.1, 0.25),
      skinCoupling: random.between(0.5, 0.95),
      stackAirChanges: randomStream(seed, `${key}/stack`).between(0.05, 0.2),
    };
    this.surroundings = withWashings(script);
    const openings = script.faults.flatMap((fault) =>
      fault.kind === 'water-ingress' ? [fault.opening] : [],
    );
    this.compartment = new Compartment(
      build,
      this.surroundings,
      [...openings, ...this.surroundings.openings],
      place.weatherAt(startMs),
    );
    this.wettingLog = new WettingLog(lowestWettingPoint(script));
    this.fit = nodeFit(unit, seed, script.node);
    this.node = new SensorNode(unit, this.fit, seed);
    this.technician = new Technician(script);
    this.faultLog = new FaultLog(script.faults, startMs);
    const evenness = random.between(-0.003, 0.003);
    this.sampleOffsetMs = 1000 * Math.floor(random.between(0, 60));
    this.electrical = new ElectricalSide(
      unit,
      script,
      seed,
      evenness,
      this.fit.loadErrorPercent,
      place.transformer,
      this.faultLog,
    );
    this.sensorFaults = new SensorFaults(script.faults, script.lookAlikes ?? []);
    const { electrical, faultLog, fit, sensorFaults } = this;
    this.observer = new Observer(script.faults, fit, electrical, sensorFaults, faultLog);
    this.lossObserver = new LossObserver(script.faults, fit, electrical, faultLog);
    this.unbalanceLog = new UnbalanceLog(script.faults);
    this.link = randomStream(seed, `${key}/link`);
    this.hands = {
      openDisconnect: () => {
        this.handsOff = false;
      },
      closeDisconnect: () => {
        this.handsOff = true;
      },
      work: (atMs, effects, actions) => this.work(atMs, effects, actions),
    };
    this.lastMs = startMs;
  }

  /**
   * Moves on to `atMs` and samples there. Null when nothing was measured or it is lost: the node's
   * supply is dead, or the node is. `atMs` must be later than the last step; longer gaps than a
   * minute are filled. The reading's time is what the node's clock shows.
   */
  step(atMs: number): SimulatedReading | null {
    if (!(atMs > this.lastMs)) {
      throw new RangeError(`step to ${atMs}, but ${this.unit.id} is at ${this.lastMs} already`);
    }
    const fromMs = this.lastMs;
    const parts = Math.ceil((atMs - fromMs) / LONGEST_STEP_MS);
    for (let part = 1; part < parts; part += 1) {
      this.stepOnce(fromMs + ((atMs - fromMs) * part) / parts, false);
    }
    return this.stepOnce(atMs, true);
  }

  /** Records written since the last call, in the order of writing. */
  takeServiceRecords(): readonly ServiceRecord[] {
    return this.technician.takeRecords();
  }

  /**
   * When a reading taken at this moment reaches the server: later, in an outage of the network;
   * null: never.
   */
  arrivalMs(atMs: number): number | null {
    return arrivalMs(this.script, atMs);
  }

  /** As `arrivalMs`; what is never delivered arrives at the end of time. */
  deliveredAtMs(atMs: number): number {
    return arrivalMs(this.script, atMs) ?? Number.POSITIVE_INFINITY;
  }

  /** Whether the network brings a reading of this moment twice. Draws: once a reading. */
  deliveredTwice(atMs: number): boolean {
    return isRepeated(this.script.faults, atMs, this.link);
  }

  /** Every wetting of the compartment so far, oldest first; the rules are `WettingLog`'s. */
  wettings(): readonly WettingTruth[] {
    return this.wettingLog.wettings(this.compartment);
  }

  truth(): UnitTruth {
    const { electrical } = this;
    return {
      compartment: { ...this.compartment.state },
      tracks: electrical.tracks.truth(),
      openFuses: electrical.feed.openPhases(),
      residual: electrical.residual(),
      compressorsRunning: electrical.loads.compressorsRunning(),
      loadsRunning: electrical.loads.loadsRunning(),
    };
  }

  /** What the run up to here knows about itself; `endMs` is where it ends. */
  runTruth(endMs: number): UnitRunTruth {
    return {
      site: this.unit.site,
      unit: this.unit.id,
      faults: this.faultLog.truth(endMs),
      wettings: this.wettings(),
      lookAlikes: lookAlikeTruth(
        this.script,
        this.surroundings,
        this.neighbourGrounds,
        this.startMs,
        endMs,
      ),
      visits: [...this.visits],
      unbalance: this.unbalanceLog.truth(),
    };
  }

  /** The line currents and what does not come back by them, as phasors; for tests. */
  currents(): ElectricalSide['currents'] {
    return this.electrical.currents;
  }

  private stepOnce(atMs: number, sampled: boolean): SimulatedReading | null {
    const stepSeconds = (atMs - this.lastMs) / 1000;
    const { electrical, place, technician } = this;
    this.lastMs = atMs;
    const weather = place.weatherAt(atMs);
    const { feed } = electrical;
    technician.step(
      atMs,
      feed.openedAtMs,
      feed.openedAtMs === null ? WHOLE : feed.openPhases(),
      this.hands,
    );
    feed.disconnectClosed = this.handsOff && !this.heldOpen(atMs);
    electrical.stepLoads(weather, place.solarHourAt(atMs), atMs, stepSeconds);
    this.stepMoisture(weather, atMs, stepSeconds);
    const surface = this.compartment.surface();
    electrical.stepGround(surface, this.cleanWetness, weather, atMs, stepSeconds);
    this.unbalanceLog.step(electrical, atMs, stepSeconds);
    const reading = sampled ? this.sample(atMs, stepSeconds) : null;
    if (sampled) this.observe(atMs, reading !== null, weather);
    electrical.openFuses(weather, atMs, stepSeconds);
    return reading;
  }

  private heldOpen(atMs: number): boolean {
    if (this.compartment.washingAt(atMs)) return true;
    for (const fault of this.script.faults) {
      if (fault.kind === 'disconnect-open' && stands(fault, atMs)) return true;
    }
    return false;
  }

  private stepMoisture(weather: Weather, atMs: number, stepSeconds: number): void {
    const { electrical, heat } = this;
    const powered = electrical.feed.controlLive();
    const coils = electrical.loads.loadsRunning();
    heat.airWatts = powered ? 7 + 2.5 * coils : 0;
    heat.plateWatts = powered ? 2.5 + 2 * coils : 0;
    const doorOpen = this.technician.doorOpen(atMs);
    this.compartment.step(weather, heat, doorOpen, atMs, stepSeconds);
    this.wettingLog.step(this.compartment, atMs, stepSeconds);
    const goal = balancedWetness(this.compartment.surface(), CLEAN_WETTING_POINT_PERCENT);
    this.cleanWetness = followWetness(this.cleanWetness, goal, stepSeconds);
  }

  private observe(atMs: number, sent: boolean, weather: Weather): void {
    const compartment = this.compartment.state;
    if (this.script.faults.length > 0) {
      this.observer.look({ atMs, sent, compartment, weather });
      this.lossObserver.look(atMs, sent);
    }
    if (this.electrical.neighbourMilliamps > this.fit.leakFloorMilliamps) {
      this.neighbourGrounds.holds(atMs);
    }
  }

  private sample(atMs: number, stepSeconds: number): SimulatedReading | null {
    const fed = this.unit.nodeSupply !== 'unit-24v' || this.electrical.feed.controlLive();
    if (!fed || this.nodeDead(atMs)) return null;
    const doorOpen = this.technician.doorOpen(atMs) || this.compartment.washingAt(atMs);
    measure(this.measurable, this.electrical, this.compartment.state, this.fit, doorOpen);
    this.sensorFaults.apply(this.measurable, atMs);
    const channels = this.node.sample(this.measurable, stepSeconds);
    if (isLost(this.script.faults, atMs, this.link)) return null;
    return { atMs: clockTime(this.script.faults, this.revivedAtMs, atMs), channels };
  }

  private nodeDead(atMs: number): boolean {
    for (const fault of this.script.faults) {
      if (fault.kind !== 'node-dead' || atMs < fault.fromMs) continue;
      if (fault.fromMs >= this.revivedAtMs) return true;
    }
    return false;
  }

  private work(atMs: number, effects: readonly VisitEffect[], actions: readonly string[]): void {
    const { connections, feed, grounds, sudden, tracks } = this.electrical;
    const ended = effects.flatMap((effect) => this.faultLog.end(ENDS[effect], atMs));
    this.visits.push({ atMs, actions, ended, sealed: effects.includes('sealed') });
    const done: Readonly<Record<VisitEffect, () => void>> = {
      'fuses-replaced': () => feed.replaceFuses(),
      'track-removed': () => tracks.remove(),
      sealed: () => this.compartment.seal(),
      'terminal-tightened': () => connections.repair('loose-terminal'),
      'track-cleaned': () => tracks.wipe(),
      'wrong-opening-sealed': () => undefined,
      'load-repaired': () => {
        grounds.repair('load-insulation');
        sudden.end('compressor-grounded');
      },
      'pole-replaced': () => connections.repair('worn-pole'),
      'vermin-removed': () => grounds.repair('vermin'),
      'clip-replaced': () => sudden.end('hot-fuse-clip'),
      'sensor-refitted': () => this.sensorFaults.repair(),
      'node-revived': () => {
        this.revivedAtMs = atMs;
      },
    };
    for (const effect of effects) done[effect]();
  }
}

/** The surroundings with the washings that the script lists among the look-alikes. */
function withWashings(script: UnitScript): Surroundings {
  const surroundings = script.surroundings ?? PLAIN_SURROUNDINGS;
  const more = (script.lookAlikes ?? []).filter(({ kind }) => kind === 'coil-washing');
  if (more.length === 0) return surroundings;
  const washings = more.map(({ fromMs, toMs }) => ({ fromMs, toMs }));
  return { ...surroundings, washings: [...surroundings.washings, ...washings] };
}

/** The most thirsty deposit of the unit decides when it counts as wet. */
function lowestWettingPoint(script: UnitScript): number | undefined {
  const points = script.faults.flatMap((fault) =>
    'wettingPointPercent' in fault ? [fault.wettingPointPercent] : [],
  );
  return points.length > 0 ? Math.min(...points) : undefined;
}
