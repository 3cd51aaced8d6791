import type { Unit } from '@lineside/fleet';
import type { FaultLog } from '../truth/fault-log.ts';
import { Connections } from './connections.ts';
import type { SurfaceMoisture } from './deposits.ts';
import { Feed } from './feed.ts';
import { GroundFaults } from './ground-faults.ts';
import { addPath, type GroundPath } from './ground-path.ts';
import { GroundAdmittance, GroundedSystem } from './grounding.ts';
import { HealthyLeakage, type Residual } from './leakage.ts';
import { LoadDraw } from './load-draw.ts';
import { LoadBank } from './loads.ts';
import { Outlet } from './outlet.ts';
import { PhaseCurrents } from './phasor.ts';
import { randomStream } from './random.ts';
import { ResidualSensor } from './residual-sensor.ts';
import { PHASES, type Phase, type UnitBuild, type UnitScript } from './scenario.ts';
import { SuddenFaults } from './sudden-faults.ts';
import { UnitSupply } from './supply.ts';
import { TrackBank } from './track-bank.ts';
import type { TransformerBus } from './transformer-bus.ts';
import type { Weather } from './weather.ts';

const USUAL_BUILD: UnitBuild = { controlPhases: ['a', 'b'], crankcaseHeaters: true };

/** Supply, fuses, loads, tracks and everything to ground of one unit, as phasors. */
export class ElectricalSide {
  readonly supply: UnitSupply;
  readonly feed: Feed;
  readonly system: GroundedSystem;
  readonly loads: LoadBank;
  readonly connections: Connections;
  readonly grounds: GroundFaults;
  readonly tracks: TrackBank;
  readonly sudden: SuddenFaults;
  readonly currents: PhaseCurrents = new PhaseCurrents();
  readonly sensed: ResidualSensor;
  /** Current of the neighbours' grounds through what this unit has to ground, mA. */
  neighbourMilliamps = 0;
  private readonly unit: Unit;
  private readonly draw: LoadDraw;
  private readonly healthy: HealthyLeakage;
  private readonly outlet: Outlet;
  private readonly bus: TransformerBus | null;
  private readonly log: FaultLog;
  private readonly own = new GroundAdmittance();
  private strength = 1;
  private resistiveX = 0;
  private resistiveY = 0;

  constructor(
    unit: Unit,
    script: UnitScript,
    seed: number,
    evenness: number,
    loadErrorPercent: number,
    bus: TransformerBus | null,
    log: FaultLog,
  ) {
    const key = `${unit.site}/${unit.id}`;
    const { faults, lookAlikes = [] } = script;
    const build = { ...USUAL_BUILD, ...script.build };
    this.unit = unit;
    this.bus = bus;
    this.log = log;
    const level = randomStream(seed, `${key}/voltage`);
    this.supply = new UnitSupply(unit.supply, faults, lookAlikes, level, evenness);
    this.feed = new Feed(this.supply, build.controlPhases);
    this.system = new GroundedSystem(unit.supply);
    this.loads = new LoadBank(unit, lookAlikes, seed);
    this.connections = new Connections(faults, randomStream(seed, `${key}/connections`));
    this.draw = new LoadDraw(unit.supply.volts, this.supply, this.feed, build);
    this.healthy = new HealthyLeakage(unit, lookAlikes, seed);
    this.grounds = new GroundFaults(unit, faults, lookAlikes);
    this.tracks = new TrackBank(unit, faults, seed);
    this.sudden = new SuddenFaults(faults);
    this.outlet = new Outlet(lookAlikes, randomStream(seed, `${key}/outlet`));
    this.sensed = new ResidualSensor(
      lookAlikes,
      loadErrorPercent,
      this.healthy.errorAngle,
      randomStream(seed, `${key}/surge`),
    );
  }

  /** Contactors move and loads draw; what blows at once has blown before. */
  stepLoads(weather: Weather, solarHour: number, atMs: number, stepSeconds: number): void {
    const { connections, currents, feed, loads, supply } = this;
    supply.step(atMs, stepSeconds);
    this.strength = loads.step(weather, solarHour, feed, atMs, stepSeconds);
    this.sudden.atOnce(loads, atMs, (fault, phases) => this.open(fault, phases, atMs));
    connections.step(loads.loads, atMs);
    this.outlet.step(solarHour, atMs, stepSeconds);
    currents.clear();
    this.drawLoads(weather);
  }

  /** Tracks and all else to ground conduct as the moisture makes them. */
  stepGround(
    surface: SurfaceMoisture,
    cleanWetness: number,
    weather: Weather,
    atMs: number,
    stepSeconds: number,
  ): void {
    const { currents, feed, supply, system, tracks } = this;
    tracks.step(surface, feed, supply, system, currents, atMs, stepSeconds);
    this.grounds.step(this.loads, weather, atMs, stepSeconds);
    this.settleGround(cleanWetness, atMs);
    // Before any fuse opens: the neighbour's fuse carries the same current at the same moment.
    this.bus?.publish(this.unit.id, atMs, this.own);
    const cleared = tracks.clearedArcs();
    if (cleared.length > 0) {
      for (const { index, opens } of cleared) this.open(index, opens, atMs);
      currents.clear();
      this.drawLoads(weather);
      this.settleGround(cleanWetness, atMs);
    }
    this.sensed.step(currents, this.loads, stepSeconds, atMs);
  }

  /** A flash-over or a tired fuse opens fuses right after the sample that shows the surge. */
  openFuses(weather: Weather, atMs: number, stepSeconds: number): void {
    for (const { index, opens } of this.tracks.flashOvers(atMs, stepSeconds)) {
      this.open(index, opens, atMs);
    }
    const { loads } = this;
    if (this.sudden.none) return;
    const amps = Math.max(...PHASES.map((phase) => this.currents.amps(phase)));
    this.sudden.underLoad(
      loads,
      amps / loads.fullLoadAmps,
      weather.humidityPercent,
      atMs,
      stepSeconds,
      (fault, phases) => this.open(fault, phases, atMs),
    );
  }

  /** All that the window's transformer would see without error. */
  residual(): Residual {
    return {
      milliamps: 1000 * Math.hypot(this.currents.residualX(), this.currents.residualY()),
      resistiveMilliamps: this.resistiveMilliamps(),
    };
  }

  resistiveMilliamps(): number {
    return 1000 * Math.hypot(this.resistiveX, this.resistiveY);
  }

  outletUsed(): boolean {
    return this.outlet.used;
  }

  /** By how much the leakage sensor would read less, or more, without this path, mA. */
  effectOf(path: GroundPath): number {
    return this.sensed.effectOf(path.x, path.y);
  }

  private drawLoads(weather: Weather): void {
    this.draw.draw(this.loads, this.connections, weather, this.strength, this.currents);
    this.outlet.draw(this.feed, this.supply, this.currents);
  }

  private open(fault: number, phases: readonly Phase[], atMs: number): void {
    const blown = this.feed.openFuses(phases, atMs);
    if (blown.length === 0) return;
    const before = Math.max(...blown.map((phase) => this.currents.amps(phase)));
    this.log.fail(fault, atMs, blown, before);
  }

  private settleGround(cleanWetness: number, atMs: number): void {
    const { bus, feed, own, supply, system, unit } = this;
    own.clear();
    const live = feed.livePhases();
    for (const phase of PHASES) {
      if (feed.live(phase)) this.healthy.addTo(own, phase, this.loads, cleanWetness, live);
    }
    for (const { path } of this.tracks.tracks) {
      if (path !== null && feed.live(path.phase)) addPath(own, path);
    }
    for (const path of this.grounds.paths) if (feed.live(path.phase)) addPath(own, path);
    system.solve(supply.volts, own, null);
    this.neighbourMilliamps = 0;
    if (bus !== null) {
      const alone = this.toGroundMilliamps();
      system.solve(supply.volts, own, bus.othersOf(unit.id, atMs));
      this.neighbourMilliamps = Math.abs(this.toGroundMilliamps() - alone);
    }
    this.drawToGround();
    this.healthy.drawFilters(this.currents, supply, this.loads, live >= 2, atMs);
  }

  private toGroundMilliamps(): number {
    const { own, system } = this;
    let x = 0;
    let y = 0;
    for (const phase of PHASES) {
      const volts = system.volts[phase];
      const { g, b } = own[phase];
      x += volts.x * g - volts.y * b;
      y += volts.x * b + volts.y * g;
    }
    return Math.hypot(x, y) / 1000;
  }

  private drawToGround(): void {
    const { currents, own, system } = this;
    this.resistiveX = 0;
    this.resistiveY = 0;
    for (const phase of PHASES) {
      const volts = system.volts[phase];
      const g = own[phase].g * 1e-6;
      const b = own[phase].b * 1e-6;
      currents.add(phase, volts.x * g - volts.y * b, volts.x * b + volts.y * g);
      this.resistiveX += volts.x * g;
      this.resistiveY += volts.y * g;
    }
    for (const { path } of this.tracks.tracks) if (path !== null) this.conduct(path);
    for (const path of this.grounds.paths) this.conduct(path);
    this.tracks.settle();
  }

  private conduct(path: GroundPath): void {
    const siemens = this.feed.live(path.phase) ? path.microsiemens * 1e-6 : 0;
    const volts = this.system.volts[path.phase];
    path.x = volts.x * siemens;
    path.y = volts.y * siemens;
  }
}
