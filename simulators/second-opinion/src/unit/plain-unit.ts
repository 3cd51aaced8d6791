import type { Unit } from '@lineside/fleet';
import { trackVolts } from '@lineside/physics';
import type { ChannelValues } from '@lineside/readings';
import type { UnitRunTruth } from '@lineside/rooftop';
import { Chance } from '../chance.ts';
import { LEGS, type Leg, type PlainFault, type PlainUnitPlan } from '../plan.ts';
import { FaultPage } from '../truth/fault-book.ts';
import { WettingLog } from '../truth/wetting-log.ts';
import { approach, Wander } from '../wander.ts';
import { magnusPascals } from '../weather/magnus.ts';
import { noAir, type PlainAir, type PlainWeather } from '../weather/plain-weather.ts';
import { type Disturbance, PlainCompartment } from './compartment.ts';
import { addedAmps, PlainLoads } from './loads.ts';
import { asChannels, PlainNode } from './node.ts';
import { Residual } from './residual.ts';
import { SensorErrors, standing } from './sensor-errors.ts';
import { trackDrive } from './track-drive.ts';
import { TrackState } from './track-state.ts';
import { PlainVisits, type VisitRecord } from './visits.ts';

const HOUR_MS = 3_600_000;
const NAMES = ['a', 'b', 'c'] as const;
const NOISES = 3;

/** What a step gave: the reading, if the node sent one, with the time that its clock shows. */
export interface PlainStep {
  readonly sentAtMs: number;
  readonly channels: ChannelValues | null;
  readonly visit: VisitRecord | null;
}

/** One unit with its compartment, currents, leakage, node and faults. */
export class PlainUnit {
  readonly unit: Unit;
  readonly node: PlainNode;
  readonly inside: PlainCompartment;
  readonly loads: PlainLoads;
  readonly residual: Residual;
  readonly pages: readonly FaultPage[];
  readonly tracks: readonly (TrackState | null)[];
  readonly live: boolean[] = [true, true, true];
  private readonly plan: PlainUnitPlan;
  private readonly chance: Chance;
  private readonly weather: PlainWeather;
  private readonly air: PlainAir = noAir();
  private readonly visits: PlainVisits;
  private readonly wettings: WettingLog = new WettingLog();
  private readonly sensors: SensorErrors = new SensorErrors();
  private readonly volts: number[] = [1, 1, 1];
  private readonly sag: Wander;
  private readonly natural: readonly number[];
  private readonly drives: readonly number[];
  private readonly act: Disturbance;
  private backward = -1;
  private soaked = 0;
  private windingCelsius = 20;
  private lastMs: number;
  private shownMs = Number.NEGATIVE_INFINITY;

  constructor(unit: Unit, plan: PlainUnitPlan, seed: number, weather: PlainWeather, atMs: number) {
    this.unit = unit;
    this.plan = plan;
    this.weather = weather;
    this.lastMs = atMs;
    this.chance = new Chance(seed, `unit/${unit.id}`);
    const traits = new Chance(seed, `traits/${unit.id}`);
    weather.read(atMs, this.air);
    this.node = new PlainNode(traits, unit);
    this.inside = new PlainCompartment(traits, this.air);
    this.loads = new PlainLoads(traits);
    this.residual = new Residual(traits, unit);
    this.sag = new Wander(this.chance, 3 * HOUR_MS);
    this.natural = LEGS.map(() => 1 + 0.0012 * traits.normal());
    this.drives = NAMES.map((name) => trackDrive(unit.supply.grounding, name, unit.supply.volts));
    this.pages = plan.faults.map((fault) => new FaultPage(fault));
    this.tracks = plan.faults.map((fault) =>
      'track' in fault ? new TrackState(fault.track, this.chance) : null,
    );
    this.visits = new PlainVisits(plan, this.pages);
    this.act = { running: false, gramsPerMillimetre: 0, buildingPascals: 0, washed: false };
  }

  /** @param neighbourTimes how a ground of a neighbour lifts what this unit leaks. */
  step(atMs: number, neighbourTimes: number): PlainStep {
    const ms = atMs - this.lastMs;
    this.lastMs = atMs;
    this.weather.read(atMs, this.air);
    const visit = this.visits.due(atMs);
    this.supply(atMs, ms);
    const stopped =
      standing(this.plan.lookAlikes, 'safety-stop', atMs) !== undefined || this.washed(atMs);
    const [first, second] = this.loads.controlLegs;
    const { live, volts, backward } = this;
    const controlLive = live[first] === true && live[second] === true;
    this.loads.step(atMs, this.air, { live, volts, backward, controlLive, stopped });
    this.contacts(atMs);
    this.loads.idle(live, this.air.celsius < 25);
    this.wet(atMs, ms);
    this.outlet(atMs);
    this.leak(atMs, ms, neighbourTimes);
    this.suddenFailures(atMs);
    return { ...this.send(atMs), visit };
  }

  /** Share of what a dead ground would do to a neighbour on an ungrounded system, 0 to 1. */
  get groundShare(): number {
    let most = 0;
    for (const [index, track] of this.tracks.entries()) {
      if (this.pages[index]?.fault.kind !== 'track-to-ground' || track === null) continue;
      most = Math.max(most, track.milliamps / (track.milliamps + 30));
    }
    return most;
  }

  truth(startMs: number, endMs: number): UnitRunTruth {
    return {
      site: this.unit.site,
      unit: this.unit.id,
      faults: this.pages
        .filter(({ fault }) => fault.fromMs <= endMs)
        .map((page) => page.truth(endMs)),
      wettings: this.wettings.truth(),
      lookAlikes: this.plan.lookAlikes
        .filter(({ fromMs }) => fromMs <= endMs)
        .map(({ kind, fromMs, toMs }) => ({
          lookAlike: kind,
          fromMs: Math.max(startMs, fromMs),
          toMs: Math.min(endMs, toMs),
        })),
      visits: this.visits.done,
    };
  }

  private washed(atMs: number): boolean {
    return standing(this.plan.lookAlikes, 'coil-washing', atMs) !== undefined;
  }

  private page(kind: PlainFault['kind'], atMs: number): FaultPage | undefined {
    return this.pages.find((page) => page.fault.kind === kind && page.isThere(atMs));
  }

  private supply(atMs: number, ms: number): void {
    const sag = 1 + 0.008 * this.sag.step(ms);
    const outage = standing(this.plan.lookAlikes, 'utility-outage', atMs) !== undefined;
    this.backward = -1;
    for (const leg of LEGS) {
      this.live[leg] = !outage && !this.visits.isOpen(leg);
      this.volts[leg] = sag * (this.natural[leg] ?? 1);
    }
    for (const page of this.pages) {
      const { fault } = page;
      if (!page.isThere(atMs)) continue;
      if (fault.kind === 'disconnect-open') {
        page.fails(atMs, []);
        page.seen(atMs, false);
        this.live.fill(false);
      } else if (fault.kind === 'utility-phase-lost') {
        page.fails(atMs, []);
        page.seen(atMs, false);
        this.backward = fault.leg;
      } else if (fault.kind === 'supply-unbalance') {
        this.volts[fault.leg] = (this.volts[fault.leg] ?? 1) * (1 - fault.lowShare);
        if (this.loads.running > 0 || this.node.hasVoltages) page.seen(atMs, false);
      }
    }
  }

  private contacts(atMs: number): void {
    for (const page of this.pages) {
      const { fault } = page;
      if ((fault.kind !== 'worn-pole' && fault.kind !== 'loose-terminal') || !page.isThere(atMs)) {
        continue;
      }
      const age = Math.min(1, (atMs - fault.fromMs) / fault.grownMs);
      const share = fault.finalShare * age;
      const own = fault.kind === 'worn-pole';
      const carried = own ? (this.loads.ofLoad[fault.load] ?? 0) : Infinity;
      const { amps } = this.loads;
      const lost = share * Math.min(carried, amps[fault.leg]);
      if (carried === 0 || lost === 0) continue;
      for (const leg of LEGS) {
        if (amps[leg] > 0) amps[leg] += leg === fault.leg ? -lost : lost / 2;
      }
      const shows = lost > 0.015 * amps[fault.leg] && lost > NOISES * this.node.ampsNoise;
      if (shows) page.seen(atMs, false);
    }
  }

  private wet(atMs: number, ms: number): void {
    const { act, air, inside, plan } = this;
    const opening = this.page('water-ingress', atMs);
    act.running = this.loads.compressorRuns;
    act.gramsPerMillimetre =
      opening?.fault.kind === 'water-ingress' ? opening.fault.gramsPerMillimetre : 0;
    act.buildingPascals = standing(plan.lookAlikes, 'building-air', atMs)?.pascals ?? 0;
    act.washed = this.washed(atMs);
    const snow = standing(plan.lookAlikes, 'frozen-snow', atMs);
    if (snow !== undefined && this.shownMs < snow.fromMs) {
      this.shownMs = atMs;
      inside.snowGrams += snow.grams;
    }
    inside.step(ms, air, act);
    this.soaked +=
      approach(ms, 4 * HOUR_MS) * ((air.rainMillimetresPerHour > 0 ? 1 : 0) - this.soaked);
    const warm = inside.airCelsius + (act.running ? 40 : 5);
    this.windingCelsius += approach(ms, HOUR_MS / 2) * (warm - this.windingCelsius);
    const most = magnusPascals(inside.airCelsius);
    this.wettings.look(atMs, inside, (100 * inside.vapourPascals) / most);
    const excess = inside.vapourPascals - air.vapourPascals;
    if (opening !== undefined && inside.waterGrams > 1 && excess > 0.03 * most) {
      opening.seen(atMs, true);
    }
  }

  private outlet(atMs: number): void {
    const outlet = standing(this.plan.lookAlikes, 'service-outlet', atMs);
    if (outlet === undefined || this.live[outlet.leg] !== true) return;
    // Somebody works there in the morning of most days.
    const hour = (atMs / HOUR_MS + 19) % 24;
    if (hour < 8 || hour > 11.5 || Math.floor(atMs / HOUR_MS) % 7 === 0) return;
    this.loads.amps[outlet.leg] = addedAmps(this.loads.amps[outlet.leg], outlet.amps);
  }

  private leak(atMs: number, ms: number, neighbourTimes: number): void {
    const { loads, plan, residual, inside } = this;
    const isLive = this.live.some(Boolean);
    const mean = (loads.amps[0] + loads.amps[1] + loads.amps[2]) / 3;
    const drift = standing(plan.lookAlikes, 'transformer-drift', atMs);
    const ground = standing(plan.lookAlikes, 'neighbour-ground', atMs);
    const times =
      neighbourTimes *
      (ground?.times ?? 1) *
      (1 + (drift?.perKelvinShare ?? 0) * (inside.airCelsius - 15));
    const more = standing(plan.lookAlikes, 'residual-load-error', atMs)?.share ?? 0;
    residual.begin(isLive, inside.airCelsius, mean, times, more);
    this.lookAlikeLeak(atMs, isLive);
    for (const [index, page] of this.pages.entries()) {
      const there = page.isThere(atMs);
      const track = this.tracks[index];
      if (!there) continue;
      if (track !== null && track !== undefined) this.trackLeak(page, track, atMs, ms);
      else this.plainLeak(page, atMs);
    }
  }

  private trackLeak(page: FaultPage, track: TrackState, atMs: number, ms: number): void {
    const { fault } = page;
    const surface = this.inside.surfacePercent;
    const wet = this.inside.filmGrams > 0.2 || surface > 85;
    if (fault.kind === 'track-to-ground') {
      const drives = this.live[fault.leg] === true ? (this.drives[fault.leg] ?? 0) : 0;
      track.step(ms, surface, drives);
      this.residual.add(track.milliamps, fault.leg);
      const effect = this.node.hasResistive
        ? track.milliamps
        : this.residual.effectOf(track.milliamps, fault.leg);
      if (effect > this.leakThreshold) page.seen(atMs, wet);
      const opens = this.unit.supply.grounding;
      if (opens === 'ungrounded' || opens === 'high-resistance') return;
    } else if (fault.kind === 'track-between-poles') {
      const isLive = fault.legs.every((leg) => this.live[leg] === true);
      track.step(ms, surface, isLive ? 1 : 0);
      const amps = track.milliamps / 1000;
      if (this.loads.running === 0 && amps > Math.max(0.03, NOISES * this.node.ampsNoise)) {
        page.seen(atMs, wet);
      }
      for (const leg of fault.legs) this.loads.amps[leg] = addedAmps(this.loads.amps[leg], amps);
    } else return;
    if (track.flashesOver(ms)) this.blow(page, atMs, fault.track.opens);
  }

  private plainLeak(page: FaultPage, atMs: number): void {
    const { fault } = page;
    let milliamps = 0;
    let leg: Leg = 0;
    if (fault.kind === 'vermin') {
      milliamps =
        this.live[fault.leg] === true ? fault.milliamps * (this.drives[fault.leg] ?? 0) : 0;
      leg = fault.leg;
    } else if (fault.kind === 'load-insulation') {
      if (this.loads.loads[fault.load]?.on !== true) return;
      const aged = 2 ** ((atMs - fault.fromMs) / fault.doublesAfterMs);
      const warm = 2 ** ((this.windingCelsius - 60) / 25);
      const rain = 1 + (fault.rainFactor - 1) * this.soaked;
      const drives = this.unit.supply.volts / Math.sqrt(3) / 277;
      milliamps = Math.min(900, fault.milliamps * aged * warm * rain * drives);
      leg = fault.leg;
    } else return;
    this.residual.add(milliamps, leg);
    if (this.residual.effectOf(milliamps, leg) > this.leakThreshold) page.seen(atMs, false);
  }

  private lookAlikeLeak(atMs: number, isLive: boolean): void {
    const { lookAlikes } = this.plan;
    if (!isLive) return;
    const heater = standing(lookAlikes, 'damp-heater', atMs);
    if (heater !== undefined && !this.loads.compressorRuns && this.air.celsius < 25) {
      const sinceMs = (atMs - heater.fromMs) % (30 * HOUR_MS);
      this.residual.add(heater.milliamps * Math.exp(-sinceMs / (HOUR_MS / 2)), 0);
    }
    const arrester = standing(lookAlikes, 'surge-arrester', atMs);
    if (arrester !== undefined) {
      const half = atMs > (arrester.fromMs + arrester.toMs) / 2 ? 2 : 1;
      this.residual.add(arrester.milliamps * half, 1);
    }
    const filter = standing(lookAlikes, 'emi-filter', atMs);
    if (filter !== undefined) {
      this.residual.add(filter.milliamps * (this.loads.running > 0 ? 1.1 : 1), 2);
    }
  }

  private get leakThreshold(): number {
    return Math.max(this.node.leakFloor, NOISES * this.node.leakNoise);
  }

  private suddenFailures(atMs: number): void {
    const { loads } = this;
    for (const page of this.pages) {
      const { fault } = page;
      if (!page.isThere(atMs) || page.failureMs !== null) continue;
      if (fault.kind === 'open-fuse') this.blow(page, atMs, [fault.leg]);
      else if (fault.kind === 'fuses-gone') this.blow(page, atMs, fault.legs);
      else if (fault.kind === 'compressor-grounded') {
        if (loads.loads[1]?.startedNow === true) this.blow(page, atMs, fault.opens);
      } else if (fault.kind === 'hot-fuse-clip') {
        const dry = this.air.rainMillimetresPerHour === 0;
        if (dry && loads.compressorRuns && this.chance.happens(0.002)) {
          this.blow(page, atMs, [fault.leg]);
        }
      }
    }
  }

  private blow(page: FaultPage, atMs: number, legs: readonly Leg[]): void {
    const closed = legs.filter((leg) => !this.visits.isOpen(leg));
    if (closed.length === 0) return;
    page.fails(atMs, closed);
    const carried = closed.some((leg) => this.loads.amps[leg] > 0.05);
    if (carried || this.loads.running > 0) page.seen(atMs, false);
    this.visits.opened(atMs, closed, page);
  }

  private send(atMs: number): { sentAtMs: number; channels: ChannelValues | null } {
    const [first, second] = this.loads.controlLegs;
    const fed = this.live[first] === true && this.live[second] === true;
    const silent = this.unit.nodeSupply === 'unit-24v' && !fed;
    if (silent || this.isCutOff(atMs) || this.chance.happens(this.node.lostShare)) {
      return { sentAtMs: atMs, channels: null };
    }
    const { loads, residual } = this;
    const out = this.node.measure({
      inside: this.inside,
      amps: loads.amps,
      leakMilliamps: residual.milliamps,
      resistiveMilliamps: residual.resistive,
      unrest: this.tracks.reduce((most, track) => Math.max(most, track?.unrest ?? 0), 0),
      lineShares: this.lineShares(),
      groundShares: this.groundShares(),
      doorOpen: this.washed(atMs),
    });
    const floors = { amps: Math.max(0.03, NOISES * this.node.ampsNoise), leak: this.leakThreshold };
    for (const page of this.pages) this.sensors.apply(page, atMs, out, floors);
    const clock = this.page('clock-error', atMs);
    const byMs = clock?.fault.kind === 'clock-error' ? clock.fault.byMs : 0;
    return { sentAtMs: atMs + byMs, channels: asChannels(out) };
  }

  private isCutOff(atMs: number): boolean {
    let cut = standing(this.plan.lookAlikes, 'gateway-loss', atMs) !== undefined;
    for (const page of this.pages) {
      const { kind } = page.fault;
      if ((kind !== 'node-dead' && kind !== 'network-outage') || !page.isThere(atMs)) continue;
      cut = true;
      page.seen(atMs, false);
      page.fails(atMs, []);
    }
    return cut;
  }

  private lineShares(): [number, number, number] {
    const { live, volts, backward } = this;
    const between = (one: Leg, other: Leg): number => {
      if (live[one] !== true || live[other] !== true) return 0;
      const low = backward < 0 ? 1 : one === backward || other === backward ? 0.87 : 0.02;
      return (low * ((volts[one] ?? 1) + (volts[other] ?? 1))) / 2;
    };
    return [between(0, 1), between(1, 2), between(2, 0)];
  }

  private groundShares(): [number, number, number] {
    const { grounding, volts } = this.unit.supply;
    const of = (leg: Leg): number => {
      if (this.live[leg] !== true) return 0;
      const low = this.backward < 0 || leg === this.backward ? 1 : 0.5;
      const share = trackVolts(grounding, NAMES[leg], volts) / volts;
      return low * share * (this.volts[leg] ?? 1);
    };
    return [of(0), of(1), of(2)];
  }
}
