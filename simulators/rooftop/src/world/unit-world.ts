import type { Unit } from '@lineside/fleet';
import { saturationOverWaterPascals } from '@lineside/physics';
import type { ChannelValues } from '@lineside/readings';
import type { WettingTruth } from '../truth/truth.ts';
import { Compartment } from './compartment.ts';
import type { CompartmentState } from './compartment-state.ts';
import { balancedWetness, followWetness } from './deposits.ts';
import { Drift } from './drift.ts';
import * as effects from './fault-effects.ts';
import { Feed } from './feed.ts';
import { type GroundCurrent, LeakagePath, type Residual } from './leakage.ts';
import { LoadBank } from './loads.ts';
import { nodeFit, SensorNode } from './node.ts';
import { PhaseCurrents } from './phasor.ts';
import { type RandomStream, randomStream } from './random.ts';
import type { NodeFit, Phase, UnitScript, VisitEffect } from './scenario.ts';
import { PLAIN_SURROUNDINGS } from './surroundings.ts';
import { type ServiceRecord, Technician } from './technician.ts';
import { TrackBank, type TrackTruth } from './track-bank.ts';
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

/** One rooftop unit with its compartment, loads, faults and node. Steps forward only. */
export class UnitWorld {
  readonly unit: Unit;
  readonly script: UnitScript;
  readonly fit: NodeFit;
  private readonly weatherAt: (atMs: number) => Weather;
  private readonly solarHourAt: (atMs: number) => number;
  private readonly compartment: Compartment;
  private readonly wettingLog: WettingLog;
  private readonly feed = new Feed();
  private readonly loads: LoadBank;
  private readonly leakage: LeakagePath;
  private readonly tracks: TrackBank;
  private readonly node: SensorNode;
  private readonly technician: Technician;
  private readonly currents = new PhaseCurrents();
  private readonly level: Drift;
  private readonly evenness: number;
  private readonly surge: RandomStream;
  /** Each node samples at its own second of the minute. */
  readonly sampleOffsetMs: number;
  private terminalTight = false;
  private tiredFuseGone = false;
  private cleanWetness = 0;
  private washing = false;
  private lastMs: number;
  private lastResidual: Residual = { milliamps: 0, resistiveMilliamps: 0 };

  constructor(
    unit: Unit,
    script: UnitScript,
    seed: number,
    startMs: number,
    weatherAt: (atMs: number) => Weather,
    solarHourAt: (atMs: number) => number,
  ) {
    const key = `${unit.site}/${unit.id}`;
    const random = randomStream(seed, `${key}/build`);
    this.unit = unit;
    this.script = script;
    this.weatherAt = weatherAt;
    this.solarHourAt = solarHourAt;
    const build = {
      airChangesPerHour: random.between(1.2, 2.6),
      windAirChanges: random.between(0.1, 0.25),
      skinCoupling: random.between(0.5, 0.95),
      stackAirChanges: randomStream(seed, `${key}/stack`).between(0.05, 0.2),
    };
    const surroundings = script.surroundings ?? PLAIN_SURROUNDINGS;
    const openings = script.faults.flatMap((fault) =>
      fault.kind === 'water-ingress' ? [fault.opening] : [],
    );
    this.compartment = new Compartment(
      build,
      surroundings,
      [...openings, ...surroundings.openings],
      weatherAt(startMs),
    );
    this.wettingLog = new WettingLog(lowestWettingPoint(script));
    this.loads = new LoadBank(unit, seed);
    this.leakage = new LeakagePath(unit, seed);
    this.tracks = new TrackBank(unit, script.faults, this.leakage.drives, seed);
    this.fit = nodeFit(unit, seed, script.node);
    this.node = new SensorNode(unit, this.fit, seed);
    this.technician = new Technician(script);
    this.level = new Drift(randomStream(seed, `${key}/voltage`), 5400, 0.007);
    this.evenness = random.between(-0.003, 0.003);
    this.sampleOffsetMs = 1000 * Math.floor(random.between(0, 60));
    this.surge = randomStream(seed, `${key}/surge`);
    this.lastMs = startMs;
  }

  /**
   * Moves on to `atMs` and samples there. Null when the node cannot measure: its supply is dead, or
   * the node is. `atMs` must be later than the last step; longer gaps than a minute are filled.
   */
  step(atMs: number): SimulatedReading | null {
    if (!(atMs > this.lastMs)) {
      throw new RangeError(`step to ${atMs}, but ${this.unit.id} is at ${this.lastMs} already`);
    }
    const fromMs = this.lastMs;
    const parts = Math.ceil((atMs - fromMs) / LONGEST_STEP_MS);
    let reading: SimulatedReading | null = null;
    for (let part = 1; part <= parts; part += 1) {
      reading = this.stepOnce(part === parts ? atMs : fromMs + ((atMs - fromMs) * part) / parts);
    }
    return reading;
  }

  /** Records written since the last call, oldest first. */
  takeServiceRecords(): ServiceRecord[] {
    return this.technician.takeRecords();
  }

  /** When a reading of this event time reaches the server: later, in an outage of the network. */
  deliveredAtMs(atMs: number): number {
    for (const fault of this.script.faults) {
      if (fault.kind === 'network-outage' && atMs >= fault.fromMs && atMs < fault.toMs) {
        return fault.toMs;
      }
    }
    return atMs;
  }

  /** Every wetting of the compartment so far, oldest first; the rules are `WettingLog`'s. */
  wettings(): readonly WettingTruth[] {
    return this.wettingLog.wettings(this.compartment);
  }

  truth(): UnitTruth {
    return {
      compartment: { ...this.compartment.state },
      tracks: this.tracks.truth(),
      openFuses: this.feed.openPhases(),
      residual: this.lastResidual,
      compressorsRunning: this.loads.compressorsRunning(),
      loadsRunning: this.loads.loadsRunning(),
    };
  }

  private stepOnce(atMs: number): SimulatedReading | null {
    const stepSeconds = (atMs - this.lastMs) / 1000;
    this.lastMs = atMs;
    const weather = this.weatherAt(atMs);
    this.technician.step(atMs, this.feed.openedAtMs, this.feed.openPhases(), {
      openDisconnect: () => {
        this.feed.disconnectClosed = false;
      },
      closeDisconnect: () => {
        this.feed.disconnectClosed = true;
      },
      apply: (effect) => this.repair(effect),
    });
    const washing = this.compartment.washingAt(atMs);
    if (washing !== this.washing) {
      this.washing = washing;
      this.feed.disconnectClosed = !washing;
    }
    const shares = effects.voltageShares(
      this.script.faults,
      1 + this.level.step(stepSeconds),
      this.evenness,
      atMs,
    );
    this.stepLoads(weather, shares, atMs, stepSeconds);
    this.stepMoisture(weather, atMs, stepSeconds);
    const surface = this.compartment.surface();
    this.tracks.step(surface, shares, this.feed, this.currents, stepSeconds);
    const residual = this.residual(weather, atMs, stepSeconds);
    const reading = this.sample(atMs, residual, shares, stepSeconds);
    this.openFuses(atMs);
    return reading;
  }

  private stepLoads(
    weather: Weather,
    shares: Readonly<Record<Phase, number>>,
    atMs: number,
    stepSeconds: number,
  ): void {
    const { faults } = this.script;
    this.currents.clear();
    this.loads.step(
      weather,
      this.solarHourAt(atMs),
      this.feed,
      shares,
      (contactor, phase) =>
        effects.looseTerminalFactor(faults, this.terminalTight, contactor, phase, atMs),
      this.currents,
      stepSeconds,
    );
  }

  private stepMoisture(weather: Weather, atMs: number, stepSeconds: number): void {
    const powered = this.feed.controlLive();
    const coils = this.loads.loadsRunning();
    const heat = {
      airWatts: powered ? 7 + 2.5 * coils : 0,
      plateWatts: powered ? 2.5 + 2 * coils : 0,
    };
    const doorOpen = this.technician.doorOpen(atMs);
    this.compartment.step(weather, heat, doorOpen, atMs, stepSeconds);
    this.wettingLog.step(this.compartment, atMs, stepSeconds);
    const goal = balancedWetness(this.compartment.surface(), CLEAN_WETTING_POINT_PERCENT);
    this.cleanWetness = followWetness(this.cleanWetness, goal, stepSeconds);
  }

  private residual(weather: Weather, atMs: number, stepSeconds: number): Residual {
    const faults: GroundCurrent[] = this.tracks.toGround();
    for (const fault of this.script.faults) {
      if (fault.kind !== 'load-insulation') continue;
      const milliamps = effects.loadInsulationMilliamps(
        fault,
        this.loads,
        this.feed,
        weather.celsius,
        atMs,
      );
      if (milliamps > 0) faults.push({ phase: fault.phase, milliamps });
    }
    const amps = (this.currents.amps('a') + this.currents.amps('b') + this.currents.amps('c')) / 3;
    // The sensor's error swells while a start's inrush flows, which lasts a second of the minute.
    const inrush = this.loads.started && this.surge.uniform() < 1 / stepSeconds ? 3 : 1;
    const error = inrush * amps * 10 * this.fit.loadErrorPercent;
    this.lastResidual = this.leakage.residual(
      this.feed.livePhases() >= 2,
      this.loads,
      this.cleanWetness,
      faults,
      error,
    );
    return this.lastResidual;
  }

  private sample(
    atMs: number,
    residual: Residual,
    shares: Readonly<Record<Phase, number>>,
    stepSeconds: number,
  ): SimulatedReading | null {
    const fed = this.unit.nodeSupply !== 'unit-24v' || this.feed.controlLive();
    const alive = !this.script.faults.some(
      (fault) => fault.kind === 'node-dead' && atMs >= fault.fromMs,
    );
    if (!fed || !alive) return null;
    const { feed } = this;
    const compartment = this.compartment.state;
    const saturation = saturationOverWaterPascals(compartment.airCelsius);
    const nominal = this.unit.supply.volts;
    const volts = (phase: Phase): number => (feed.live(phase) ? nominal * shares[phase] : 0);
    const lineVolts = (from: Phase, to: Phase): number => 0.5 * (volts(from) + volts(to));
    const bursts = this.tracks.bursts();
    const channels = this.node.sample(
      {
        airCelsius: compartment.airCelsius,
        plateCelsius: compartment.plateCelsius,
        humidityPercent: (100 * compartment.vapourPascals) / saturation,
        leakMilliamps: residual.milliamps,
        resistiveMilliamps: residual.resistiveMilliamps,
        peakMilliamps: residual.milliamps + bursts.extraMilliamps,
        burstCount: bursts.count,
        amps: {
          a: this.currents.amps('a'),
          b: this.currents.amps('b'),
          c: this.currents.amps('c'),
        },
        lineVolts: { ab: lineVolts('a', 'b'), bc: lineVolts('b', 'c'), ca: lineVolts('c', 'a') },
        groundVolts: this.groundVolts(shares),
        doorOpen: this.technician.doorOpen(atMs) || this.compartment.washingAt(atMs),
      },
      effects.deadSensors(this.script.faults, atMs),
      stepSeconds,
    );
    return { atMs, channels };
  }

  private groundVolts(shares: Readonly<Record<Phase, number>>): Record<Phase, number> {
    const volts = (phase: Phase): number =>
      this.feed.live(phase) ? this.leakage.drives[phase].volts * shares[phase] : 0;
    return { a: volts('a'), b: volts('b'), c: volts('c') };
  }

  /** A flash-over or a tired fuse opens fuses right after the sample that shows the surge. */
  private openFuses(atMs: number): void {
    const flashed = this.tracks.flashOvers(atMs);
    if (flashed.length > 0) this.feed.openFuses(flashed, atMs);
    for (const fault of this.script.faults) {
      if (fault.kind !== 'open-fuse' || this.tiredFuseGone || atMs < fault.notBeforeMs) continue;
      if (this.loads.compressorsRunning() === 0) continue;
      this.tiredFuseGone = true;
      this.feed.openFuses([fault.phase], atMs);
    }
  }

  private repair(effect: VisitEffect): void {
    switch (effect) {
      case 'fuses-replaced':
        this.feed.replaceFuses();
        break;
      case 'track-removed':
        this.tracks.remove();
        break;
      case 'sealed':
        this.compartment.seal();
        break;
      case 'terminal-tightened':
        this.terminalTight = true;
        break;
    }
  }
}

/** The most thirsty deposit of the unit decides when it counts as wet. */
function lowestWettingPoint(script: UnitScript): number | undefined {
  const points = script.faults.flatMap((fault) =>
    'wettingPointPercent' in fault ? [fault.wettingPointPercent] : [],
  );
  return points.length > 0 ? Math.min(...points) : undefined;
}
