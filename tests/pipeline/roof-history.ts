import { type Fleet, type Unit, USUAL_LIMITS } from '@lineside/fleet';
import { type ChannelValues, type Reading, WEATHER_UNIT } from '@lineside/readings';
import type { Chance } from './chance.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;

/** A technician's visit. */
export interface Visit {
  readonly site: string;
  readonly unit: string;
  readonly atMs: number;
  readonly action: string;
  readonly phases: readonly string[];
}

/** What really happened on some roofs, in event time. */
export interface RoofHistory {
  readonly fleet: Fleet;
  /** Of each unit and each outdoor station, oldest first. */
  readonly readings: readonly (readonly Reading[])[];
  readonly visits: readonly Visit[];
}

const LOADS: readonly ChannelValues[] = [
  { ia: 0.42, ib: 0.41, ic: 0.01 },
  { ia: 0.42, ib: 0.41, ic: 0.01 },
  { ia: 17.2, ib: 17, ic: 17.3 },
  { ia: 17.2, ib: 17, ic: 17.3 },
  { ia: 0.003, ib: 0.002, ic: 0 },
  { ia: 29, ib: 0.1, ic: 30 },
  { ia: 21, ib: 17, ic: 16 },
  {},
];
const VOLTS: readonly ChannelValues[] = [
  {},
  {},
  { vab: 600, vbc: 601, vca: 599 },
  { vab: 570, vbc: 615, vca: 615 },
  { vab: 1, vbc: 2, vca: 1 },
];
const MILLIAMPS = [0, 0, 0.5, 1, 2, 4, 7.9, 9, 11, 20, 29, 45];
const HUMIDITIES = [0, 30, 55, 55, 79, 81, 92, 97, 100];
const TEMPERATURES = [-30, -5, 0, 0.5, 8, 20, 45];
const PLATES = [null, null, -6, 3, 19];
const ACTIONS = [
  'fuses-replaced',
  'fuses-replaced',
  'fuses-replaced',
  'root-cause',
  'disconnect-opened',
  'disconnect-closed',
  'inspection',
];

/**
 * Stretches of dry, wet, leaking, running, dead and other times, one after another: no physics,
 * only many different things for watches to find.
 */
export function roofHistory(chance: Chance, endMs: number): RoofHistory {
  const sites = chance.happens(0.5) ? ['harbour-mall'] : ['harbour-mall', 'north-depot'];
  const unitCount = chance.whole(2, 4);
  const units = Array.from({ length: unitCount }, (_, index) =>
    unitOn(sites[index % sites.length] ?? 'harbour-mall', `rtu-0${index + 1}`),
  );
  const startMs = endMs - chance.pick([8, 30, 120, 480]) * HOUR_MS;
  const outages = sites.map((site) => outageOf(chance.of(`outage ${site}`), site, startMs, endMs));
  const losses = units.map((unit) => {
    const outage = outages.find(({ site }) => site === unit.site);
    return lossOf(chance.of(`loss ${unit.id}`), outage, startMs, endMs);
  });
  const readings = units.map((unit, index) =>
    unitReadings(chance.of(unit.id), unit, startMs, endMs).map((reading) =>
      outages.some((outage) => isWithin(outage, reading)) || isIn(losses[index], reading)
        ? dead(reading)
        : reading,
    ),
  );
  const weather = sites.map((site) => reports(chance.of(site), site, startMs - HOUR_MS, endMs));
  const visits = units.flatMap((unit) => visitsTo(chance.of(`v${unit.id}`), unit, startMs, endMs));
  return { fleet: fleetOf(sites, units), readings: [...readings, ...weather], visits };
}

interface Spell {
  readonly fromMs: number;
  readonly toMs: number;
}

interface Outage extends Spell {
  readonly site: string;
}

/** All units of a site without power at once; of every second site, else none at all. */
function outageOf(chance: Chance, site: string, startMs: number, endMs: number): Outage {
  const fromMs = Math.floor(chance.between(startMs, endMs));
  const lastsMs = chance.happens(0.5) ? chance.between(0.01, 0.2) * (endMs - startMs) : 0;
  return { site, fromMs, toMs: fromMs + lastsMs };
}

/** One unit alone without power, or still without it when the outage of its site is over. */
function lossOf(
  chance: Chance,
  outage: Outage | undefined,
  startMs: number,
  endMs: number,
): Spell | undefined {
  const lastsMs = chance.between(0.01, 0.15) * (endMs - startMs);
  if (!chance.happens(0.4)) return undefined;
  const isLeftBehind = chance.happens(0.5) && outage !== undefined && outage.toMs > outage.fromMs;
  const fromMs = isLeftBehind ? outage.toMs : Math.floor(chance.between(startMs, endMs));
  return { fromMs, toMs: fromMs + lastsMs };
}

function isWithin(outage: Outage, reading: Reading): boolean {
  return reading.site === outage.site && isIn(outage, reading);
}

function isIn(spell: Spell | undefined, { atMs }: Reading): boolean {
  return spell !== undefined && atMs >= spell.fromMs && atMs < spell.toMs;
}

function dead(reading: Reading): Reading {
  const { vab: _ab, vbc: _bc, vca: _ca, ...rest } = reading.channels;
  return { ...reading, channels: { ...rest, ia: 0.003, ib: 0.002, ic: 0, leak: 0 } };
}

function unitReadings(chance: Chance, unit: Unit, startMs: number, endMs: number): Reading[] {
  const readings: Reading[] = [];
  const meanStretchMs = (endMs - startMs) / chance.whole(4, 14);
  for (let atMs = startMs; atMs < endMs; ) {
    const untilMs = Math.min(endMs, atMs + Math.ceil(chance.between(0.1, 2) * meanStretchMs));
    const least = Math.max(1, Math.floor((endMs - startMs) / (500 * MINUTE_MS)));
    const cadenceMs = chance.pick([least, least, 2 * least, 5 * least]) * MINUTE_MS;
    const channels = stretch(chance);
    // A node that is off for a while leaves a gap.
    const isGap = chance.happens(0.07);
    for (; atMs < untilMs; atMs += cadenceMs) {
      if (isGap) continue;
      const { site, id } = unit;
      readings.push({ site, unit: id, atMs, channels: wobbling(chance, channels) });
    }
  }
  return readings;
}

function stretch(chance: Chance): ChannelValues {
  const plate = chance.pick(PLATES);
  return {
    rh: chance.pick(HUMIDITIES),
    t: chance.pick(TEMPERATURES),
    leak: chance.pick(MILLIAMPS) / 1000,
    ...(plate === null ? {} : { tp: plate }),
    ...chance.pick(LOADS),
    ...chance.pick(VOLTS),
  };
}

/** Values are never all alike; now and then one is wild. */
function wobbling(chance: Chance, values: ChannelValues): ChannelValues {
  const { rh, t, leak } = values;
  const wobble = chance.next();
  return {
    ...values,
    ...(rh === undefined ? {} : { rh: Math.min(100, rh + wobble) }),
    ...(t === undefined ? {} : { t: t + 0.3 * wobble }),
    ...(leak === undefined ? {} : { leak: chance.happens(0.005) ? 0.9 : leak + wobble / 1e4 }),
  };
}

function reports(chance: Chance, site: string, startMs: number, endMs: number): Reading[] {
  const least = Math.max(
    20 * MINUTE_MS,
    Math.floor((endMs - startMs) / 300 / MINUTE_MS) * MINUTE_MS,
  );
  const cadenceMs = least * chance.pick([1, 1, 2]);
  const list: Reading[] = [];
  let air: ChannelValues = {};
  for (let atMs = startMs; atMs < endMs; atMs += cadenceMs) {
    if (list.length === 0 || chance.happens(0.15)) {
      const rain = chance.pick([0, 0, 0.1, 2]);
      air = { rh: chance.pick([40, 85, 99]), t: chance.pick([-8, 1, 15]), rain };
    }
    if (!chance.happens(0.05)) list.push({ site, unit: WEATHER_UNIT, atMs, channels: air });
  }
  return list;
}

function visitsTo(chance: Chance, unit: Unit, startMs: number, endMs: number): Visit[] {
  return Array.from({ length: chance.whole(0, 6) }, () => ({
    site: unit.site,
    unit: unit.id,
    atMs: Math.floor(chance.between(startMs, endMs) / MINUTE_MS) * MINUTE_MS,
    action: chance.pick(ACTIONS),
    phases: chance.pick([['a'], ['a', 'c'], ['b'], []]),
  }));
}

function fleetOf(sites: readonly string[], units: readonly Unit[]): Fleet {
  return {
    sites: sites.map((id) => ({
      id,
      name: id,
      timezone: 'UTC',
      latitudeDegrees: null,
      longitudeDegrees: null,
    })),
    units,
  };
}

function unitOn(site: string, id: string): Unit {
  return {
    site,
    id,
    name: `${site} ${id}`,
    supply: {
      volts: 600,
      hertz: 60,
      grounding: 'solid-wye',
      groundingAssumed: false,
      mcaAmps: 38,
      mopAmps: 50,
    },
    fuses: { class: 'RK5', amps: 50 },
    contactors: [
      { name: 'C1', load: 'compressor 1', poles: 3, flaAmps: 18 },
      { name: 'C2', load: 'fans', poles: 3, flaAmps: 6 },
    ],
    drive: false,
    access: null,
    roof: null,
    nodeSupply: 'battery',
    limits: USUAL_LIMITS,
    retired: false,
  };
}
