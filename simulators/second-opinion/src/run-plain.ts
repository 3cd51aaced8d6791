import { type ChannelValues, type Reading, WEATHER_UNIT } from '@lineside/readings';
import type { RunTruth } from '@lineside/rooftop';
import { Chance } from './chance.ts';
import type { PlainPlan } from './plan.ts';
import { PlainUnit } from './unit/plain-unit.ts';
import type { VisitRecord } from './unit/visits.ts';
import { PLAIN_CLIMATES } from './weather/climates.ts';
import { magnusPascals } from './weather/magnus.ts';
import { noAir, PlainWeather } from './weather/plain-weather.ts';

/** Takes what a run brings, in ascending event time for each unit and for the station. */
export interface PlainSink {
  readonly reading: (unit: string, atMs: number, channels: ChannelValues) => void;
  readonly weather: (report: Reading) => void;
  readonly service: (unit: string, visit: VisitRecord) => void;
  /** After each step of a unit, sent or not: for whoever looks at the world itself. */
  readonly stepped?: (unit: PlainUnit, atMs: number) => void;
}

const STATION_MS = 600_000;

/** Plays a plan from start to end and gives what it knows about itself. */
export function runPlain(plan: PlainPlan, sink: PlainSink): RunTruth {
  const { seed, startMs, endMs } = plan;
  const climate = PLAIN_CLIMATES[plan.climate];
  const weather = new PlainWeather(climate, seed, { startMs, endMs }, plan.seasonDay);
  const units = plan.fleet.units.map((unit, index) => {
    const own = plan.units[index];
    if (own === undefined) throw new RangeError(`the plan has nothing about unit ${unit.id}`);
    return new PlainUnit(unit, own, seed, weather, startMs);
  });
  const chance = new Chance(seed, 'cadence');
  const next = units.map(
    (unit) => startMs + Math.round(chance.uniform() * unit.node.cadenceMs) + 1,
  );
  const newest = units.map(() => Number.NEGATIVE_INFINITY);
  const station = plan.station ? new Station(plan, weather) : null;
  for (;;) {
    const index = earliest(next);
    const unit = units[index];
    const atMs = next[index];
    if (unit === undefined || atMs === undefined || atMs > endMs) break;
    station?.reportUntil(atMs, sink);
    const floats = isFloating(unit.unit.supply.grounding);
    const times = floats ? 1 + 1.7 * groundOfOthers(units, index) : 1;
    const { sentAtMs, channels, visit } = unit.step(atMs, times);
    sink.stepped?.(unit, atMs);
    // A clock that was put back repeats times; the first value of a time wins.
    if (visit !== null && visit.atMs > (newest[index] ?? 0)) sink.service(unit.unit.id, visit);
    if (channels !== null && sentAtMs > (newest[index] ?? 0)) {
      newest[index] = sentAtMs;
      sink.reading(unit.unit.id, sentAtMs, channels);
    }
    const jitterMs = unit.node.jitterMs * (chance.uniform() - 0.5);
    next[index] = Math.round(atMs + unit.node.cadenceMs + jitterMs);
  }
  return { seed, startMs, endMs, units: units.map((unit) => unit.truth(startMs, endMs)) };
}

function earliest(next: readonly number[]): number {
  let best = 0;
  for (let index = 1; index < next.length; index += 1) {
    if ((next[index] ?? Infinity) < (next[best] ?? Infinity)) best = index;
  }
  return best;
}

function isFloating(grounding: string): boolean {
  return grounding === 'ungrounded' || grounding === 'high-resistance';
}

function groundOfOthers(units: readonly PlainUnit[], own: number): number {
  let most = 0;
  for (const [index, unit] of units.entries()) {
    if (index !== own) most = Math.max(most, unit.groundShare);
  }
  return most;
}

/** The site's outdoor station, a report every ten minutes. */
class Station {
  private readonly site: string;
  private readonly weather: PlainWeather;
  private readonly chance: Chance;
  private nextMs: number;
  private readonly air = noAir();

  constructor(plan: PlainPlan, weather: PlainWeather) {
    this.site = plan.fleet.sites[0]?.id ?? 'site';
    this.weather = weather;
    this.chance = new Chance(plan.seed, 'station');
    this.nextMs = plan.startMs;
  }

  reportUntil(atMs: number, sink: PlainSink): void {
    for (; this.nextMs <= atMs; this.nextMs += STATION_MS) {
      sink.weather(this.report(this.nextMs));
    }
  }

  private report(atMs: number): Reading {
    const { air, chance } = this;
    this.weather.read(atMs, air);
    const percent = (100 * air.vapourPascals) / magnusPascals(air.celsius) + chance.normal();
    const millimetres = STATION_MS / 3_600_000;
    const channels = {
      rh: Math.round(10 * Math.min(100, Math.max(1, percent))) / 10,
      t: Math.round(10 * (air.celsius + 0.1 * chance.normal())) / 10,
      wind: Math.round(10 * air.windMetresPerSecond) / 10,
      rain: Math.round(100 * air.rainMillimetresPerHour * millimetres) / 100,
      snow: Math.round(100 * air.snowMillimetresPerHour * millimetres) / 100,
    };
    return { site: this.site, unit: WEATHER_UNIT, atMs, channels };
  }
}
