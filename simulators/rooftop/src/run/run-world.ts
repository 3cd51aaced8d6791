import type { ChannelValues } from '@lineside/readings';
import { STATION_INTERVAL_MS, type Station } from '../world/station.ts';
import type { ServiceRecord } from '../world/technician.ts';
import type { UnitWorld } from '../world/unit-world.ts';
import type { World } from '../world/world.ts';

export interface RunOptions {
  /** Between two samples of a unit, ms; at least 1000. */
  readonly everyMs: number;
  /** No sample is later, ms of event time. */
  readonly endMs: number;
}

export interface RunReading {
  readonly site: string;
  readonly unit: string;
  /** What the node's clock shows, ms. */
  readonly atMs: number;
  /** When it reaches the server, ms: later than it was taken, after an outage. */
  readonly arrivalMs: number;
  readonly channels: ChannelValues;
}

export interface RunReport {
  readonly site: string;
  readonly atMs: number;
  readonly channels: ChannelValues;
}

/** Takes what a run brings. Each is called in order of event time for one unit or station. */
export interface RunSink {
  /** Twice for a reading that the network repeats, never for one that it loses. */
  readonly reading: (reading: RunReading) => void;
  readonly weather: (report: RunReport) => void;
  /** In the order of writing; a late record carries the time of the work. */
  readonly service: (record: ServiceRecord) => void;
}

/** Units take turns by so much time, so that weather need not be kept and files stay in order. */
const SLICE_MS = 6 * 3_600_000;
/** Units ask for the weather of at most a minute ago. */
const WEATHER_KEPT_MS = 600_000;
const SHORTEST_INTERVAL_MS = 1000;

/**
 * Plays a world that has not been stepped yet, without network and clock, as fast as it goes. Units
 * of one transformer step together, as their neighbours' grounds ask for.
 *
 * @throws RangeError for an interval below a second.
 */
export function runWorld(world: World, options: RunOptions, sink: RunSink): void {
  const { everyMs, endMs } = options;
  if (!(everyMs >= SHORTEST_INTERVAL_MS)) {
    throw new RangeError(`everyMs is ${everyMs}, but a node samples once a second at most`);
  }
  const groups = groupsOf(world);
  const next = new Map(
    world.units.map((unit) => [unit, world.startMs + everyMs + (unit.sampleOffsetMs % everyMs)]),
  );
  const reports = new Map(
    world.stations.map((station) => [station, world.startMs + STATION_INTERVAL_MS]),
  );
  for (let fromMs = world.startMs; fromMs < endMs; fromMs += SLICE_MS) {
    const toMs = Math.min(endMs, fromMs + SLICE_MS);
    for (const station of world.stations) report(station, reports, toMs, sink);
    for (const group of groups) stepGroup(group, next, toMs, everyMs, sink);
    for (const site of world.sites) site.forgetBefore(toMs - everyMs - WEATHER_KEPT_MS);
  }
}

function report(station: Station, due: Map<Station, number>, toMs: number, sink: RunSink): void {
  let atMs = due.get(station) ?? toMs;
  for (; atMs <= toMs; atMs += STATION_INTERVAL_MS) {
    const { channels } = station.step(atMs);
    sink.weather({ site: station.site, atMs, channels });
  }
  due.set(station, atMs);
}

/** Units that must step together, interval by interval. */
function groupsOf(world: World): UnitWorld[][] {
  const shared = new Map<string, UnitWorld[]>();
  const groups: UnitWorld[][] = [];
  for (const { site, units } of world.scenario.transformers ?? []) {
    const group: UnitWorld[] = [];
    groups.push(group);
    for (const unit of units) shared.set(`${site}/${unit}`, group);
  }
  for (const unit of world.units) {
    const group = shared.get(`${unit.unit.site}/${unit.unit.id}`);
    if (group === undefined) groups.push([unit]);
    else group.push(unit);
  }
  return groups;
}

function stepGroup(
  group: readonly UnitWorld[],
  next: Map<UnitWorld, number>,
  toMs: number,
  everyMs: number,
  sink: RunSink,
): void {
  for (let stepped = true; stepped; ) {
    stepped = false;
    for (const unit of group) {
      const atMs = next.get(unit) ?? Number.POSITIVE_INFINITY;
      if (atMs > toMs) continue;
      stepped = true;
      next.set(unit, atMs + everyMs);
      stepUnit(unit, atMs, sink);
    }
  }
}

function stepUnit(unit: UnitWorld, atMs: number, sink: RunSink): void {
  const reading = unit.step(atMs);
  for (const record of unit.takeServiceRecords()) sink.service(record);
  if (reading === null) return;
  const arrivalMs = unit.arrivalMs(atMs);
  if (arrivalMs === null) return;
  const { site, id } = unit.unit;
  const sent = { site, unit: id, atMs: reading.atMs, arrivalMs, channels: reading.channels };
  sink.reading(sent);
  if (unit.deliveredTwice(atMs)) sink.reading(sent);
}
