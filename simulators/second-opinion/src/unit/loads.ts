import type { Chance } from '../chance.ts';
import { LEGS, type Leg } from '../plan.ts';
import { RANGES } from '../ranges.ts';
import { Wander } from '../wander.ts';
import type { PlainAir } from '../weather/plain-weather.ts';
import { localHour } from '../weather/plain-weather.ts';

const MINUTE_MS = 60_000;
/** A motor's current answers so many times to a lower voltage of its phase. */
const VOLTAGE_TIMES = 6;

export interface PlainLoad {
  readonly fan: boolean;
  readonly amps: number;
  /** Share of `amps` in each phase; single-phase fans leave one out. */
  readonly legs: readonly [number, number, number];
  on: boolean;
  untilMs: number;
  lockedUntilMs: number;
  tripsAtMs: number;
  startedNow: boolean;
  readonly wander: Wander;
}

/** What the supply gives a load. */
export interface Feed {
  readonly live: readonly boolean[];
  readonly volts: readonly number[];
  /** A phase lost before a delta-wye transformer: the one that goes up; -1 none. */
  readonly backward: number;
  readonly controlLive: boolean;
  readonly stopped: boolean;
}

/** Stages by thermostat with random cycles, and the idle current of transformer and heaters. */
export class PlainLoads {
  readonly loads: readonly PlainLoad[];
  readonly controlLegs: readonly [Leg, Leg];
  readonly idleAmps: number;
  readonly heaterAmps: number;
  readonly amps: [number, number, number] = [0, 0, 0];
  readonly ofLoad: number[];
  private readonly chance: Chance;
  private readonly cycleMs: number;
  private readonly balance: number;
  private readonly fanAllDay: boolean;
  private readonly alwaysBlows: boolean;

  constructor(chance: Chance) {
    const { loads } = RANGES;
    this.chance = chance;
    const amps = chance.between(loads.compressorAmps);
    const single = chance.happens(0.3);
    const spread = (): number => 1 + chance.between(loads.legSpreadShare) * chance.normal();
    const three = (): [number, number, number] => [spread(), spread(), spread()];
    const fanLegs: [number, number, number] = single ? [1, 1, 0] : three();
    const fanAmps = single
      ? chance.between(loads.singleFanAmps)
      : Math.max(2, amps * chance.between(loads.fanShare));
    this.loads = [
      newLoad(chance, true, fanAmps, fanLegs),
      newLoad(chance, false, amps, three()),
      ...(chance.happens(0.5) ? [newLoad(chance, false, amps * 0.9, three())] : []),
    ];
    this.ofLoad = this.loads.map(() => 0);
    this.controlLegs = chance.pick([
      [0, 1],
      [1, 2],
      [0, 2],
    ] as const);
    this.idleAmps = chance.decades(loads.idleAmps);
    this.heaterAmps = chance.happens(0.6) ? chance.between(loads.heaterAmps) : 0;
    this.cycleMs = MINUTE_MS * chance.between(loads.cycleMinutes);
    this.balance = chance.between(loads.balanceCelsius);
    this.fanAllDay = chance.happens(0.4);
    this.alwaysBlows = chance.happens(0.1);
  }

  get running(): number {
    return this.loads.reduce((sum, { on }) => sum + (on ? 1 : 0), 0);
  }

  get compressorRuns(): boolean {
    return this.loads.some(({ on, fan }) => on && !fan);
  }

  step(atMs: number, air: PlainAir, feed: Feed): void {
    const demand = air.celsius + 6 * air.sun - this.balance;
    for (const [index, load] of this.loads.entries()) {
      if (index > 0) this.cycle(load, (demand - 8 * (index - 1)) / 9, atMs, feed);
    }
    const fan = this.loads[0];
    if (fan !== undefined) this.runFan(fan, demand, atMs, feed);
    this.sum(air, feed);
  }

  private runFan(fan: PlainLoad, demand: number, atMs: number, feed: Feed): void {
    const hour = localHour(atMs);
    const day = this.alwaysBlows || (this.fanAllDay && hour > 6 && hour < 20);
    if (day || this.compressorRuns) this.turn(fan, true, atMs, feed);
    // In winter a gas burner asks for air in cycles of its own.
    else this.cycle(fan, Math.min(0.7, (-demand - 4) / 18), atMs, feed);
  }

  private cycle(load: PlainLoad, duty: number, atMs: number, feed: Feed): void {
    if (atMs < load.untilMs) {
      this.turn(load, load.on, atMs, feed);
      return;
    }
    const spread = this.chance.between([0.7, 1.3]);
    const share = Math.min(0.97, Math.max(0, duty));
    const on = share > 0.06 && !load.on;
    const long = on ? share : 1 - share;
    load.untilMs = atMs + Math.max(3 * MINUTE_MS, this.cycleMs * spread * long);
    this.turn(load, share > 0.95 ? true : on, atMs, feed);
  }

  /** Switches a load, and lets its protector trip while a phase is missing. */
  private turn(load: PlainLoad, wanted: boolean, atMs: number, feed: Feed): void {
    const whole = LEGS.every((leg) => feed.live[leg] === true || load.legs[leg] === 0);
    const single = load.legs[2] === 0;
    const healthy = whole && (feed.backward < 0 || single);
    let on = wanted && feed.controlLive && !feed.stopped && atMs >= load.lockedUntilMs;
    if (on && !healthy) {
      if (!load.on || single) on = false;
      else if (load.tripsAtMs === 0) {
        load.tripsAtMs = atMs + MINUTE_MS * this.chance.between([0.3, 5]);
      } else if (atMs > load.tripsAtMs) {
        on = false;
        load.lockedUntilMs = atMs + MINUTE_MS * this.chance.between([15, 60]);
      }
    }
    if (healthy || !on) load.tripsAtMs = 0;
    load.startedNow = on && !load.on;
    load.on = on;
  }

  private sum(air: PlainAir, feed: Feed): void {
    this.amps.fill(0);
    for (const [index, load] of this.loads.entries()) {
      this.ofLoad[index] = 0;
      const wander = load.wander.step(MINUTE_MS);
      if (!load.on) continue;
      const heat = load.fan ? 1 : 1 + 0.008 * (air.celsius - 25);
      const inrush = load.startedNow && this.chance.happens(1 / 90) ? 5 : 1;
      const amps = load.amps * 0.8 * heat * inrush * (1 + 0.012 * wander);
      this.ofLoad[index] = amps;
      const mean = ((feed.volts[0] ?? 1) + (feed.volts[1] ?? 1) + (feed.volts[2] ?? 1)) / 3;
      const live = feed.live.filter(Boolean).length;
      const lost = live < 3 && load.legs[2] !== 0 ? 1.73 : 1;
      for (const leg of LEGS) {
        const low = VOLTAGE_TIMES * ((feed.volts[leg] ?? 1) - mean);
        const backward =
          feed.backward < 0 || load.legs[2] === 0 ? 1 : leg === feed.backward ? 2.31 : 1.15;
        const answers = load.legs[2] === 0 ? 1 : 1 + low;
        const own = amps * load.legs[leg] * lost * backward * answers;
        if (feed.live[leg] === true) this.amps[leg] += own;
      }
    }
  }

  /** Adds what flows while the contactors are open. */
  idle(live: readonly boolean[], heaters: boolean): void {
    const [first, second] = this.controlLegs;
    if (live[first] !== true || live[second] !== true) return;
    const heater = heaters && !this.compressorRuns ? this.heaterAmps : 0;
    for (const leg of [first, second]) {
      this.amps[leg] = addedAmps(this.amps[leg], this.idleAmps + heater);
    }
  }
}

/** Magnitude of a motor's current and a resistive one at their usual angle. */
export function addedAmps(first: number, second: number): number {
  return Math.sqrt(first * first + second * second + 1.7 * first * second);
}

function newLoad(
  chance: Chance,
  fan: boolean,
  amps: number,
  legs: readonly [number, number, number],
): PlainLoad {
  const wander = new Wander(chance, 10 * MINUTE_MS);
  const off = { on: false, untilMs: 0, lockedUntilMs: 0, tripsAtMs: 0, startedNow: false };
  return { fan, amps, legs, ...off, wander };
}
