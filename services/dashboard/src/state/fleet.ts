import { allUnits, openAlarms } from '../api/client.ts';
import { ApiFailure } from '../api/problem.ts';
import type { Alarm, Condition, Unit } from '../api/types.ts';
import { isOpen } from '../order/urgency.ts';
import { type ArrivalTrack, follow } from './arrival.ts';
import { sessionEnded } from './session.ts';
import { createStore, type ReadableStore } from './store.ts';

export interface FleetState {
  readonly loaded: boolean;
  readonly failure: ApiFailure | null;
  /** Keyed `site/unit`. */
  readonly units: ReadonlyMap<string, Unit>;
  /** Alarms that are not normal, by id. */
  readonly alarms: ReadonlyMap<string, Alarm>;
  readonly arrivals: ReadonlyMap<string, ArrivalTrack>;
}

const NOTHING: FleetState = {
  loaded: false,
  failure: null,
  units: new Map(),
  alarms: new Map(),
  arrivals: new Map(),
};

const store = createStore<FleetState>(NOTHING);
export const fleet: ReadableStore<FleetState> = store;

export const unitKey = (site: string, unit: string): string => `${site}/${unit}`;

/** The names of the sites by their ids. */
export function siteNames({ units }: FleetState): ReadonlyMap<string, string> {
  return new Map([...units.values()].map(({ site, siteName }) => [site, siteName]));
}

/** Reads all units and open alarms. A failure keeps what is there and says so. */
export async function loadFleet(): Promise<void> {
  try {
    const [units, alarms] = await Promise.all([allUnits(), openAlarms()]);
    const byKey = new Map(units.map((unit) => [unitKey(unit.site, unit.unit), unit]));
    store.set({
      loaded: true,
      failure: null,
      units: byKey,
      alarms: new Map(alarms.map((alarm) => [alarm.id, alarm])),
      arrivals: followed(store.get().arrivals, byKey.values(), Date.now()),
    });
  } catch (error) {
    if (!(error instanceof ApiFailure)) throw error;
    if (error.status === 401) sessionEnded();
    else store.set({ ...store.get(), failure: error });
  }
}

export function forgetFleet(): void {
  store.set(NOTHING);
}

/** Puts one alarm in its place: among the open ones, or out of the list. */
export function putAlarm(alarm: Alarm): void {
  const state = store.get();
  const alarms = new Map(state.alarms);
  if (isOpen(alarm)) alarms.set(alarm.id, alarm);
  else alarms.delete(alarm.id);
  store.set({ ...state, alarms });
}

/** Puts one unit in its place, as it was just read. */
export function putUnit(unit: Unit): void {
  const state = store.get();
  const units = new Map(state.units).set(unitKey(unit.site, unit.unit), unit);
  store.set({ ...state, units });
}

export interface UnitNews {
  readonly reading?: { readonly time: string; readonly channels: Readonly<Record<string, number>> };
  readonly condition?: Condition;
}

/** Applies what has been heard of units since the last time; older readings change nothing. */
export function applyNews(news: ReadonlyMap<string, UnitNews>, nowMs: number): void {
  const state = store.get();
  const units = new Map(state.units);
  const changed: Unit[] = [];
  for (const [key, { reading, condition }] of news) {
    const before = units.get(key);
    if (before === undefined) continue;
    const newer = reading !== undefined && isNewer(reading.time, before.lastReading?.time);
    const after: Unit = {
      ...before,
      ...(newer ? { lastReading: reading } : {}),
      ...(condition === undefined ? {} : { condition }),
    };
    units.set(key, after);
    changed.push(after);
  }
  if (changed.length === 0) return;
  store.set({ ...state, units, arrivals: followed(state.arrivals, changed, nowMs) });
}

const isNewer = (time: string, than: string | undefined): boolean =>
  than === undefined || Date.parse(time) > Date.parse(than);

function followed(
  before: ReadonlyMap<string, ArrivalTrack>,
  units: Iterable<Unit>,
  nowMs: number,
): ReadonlyMap<string, ArrivalTrack> {
  const arrivals = new Map(before);
  for (const unit of units) {
    if (unit.lastReading === null || unit.retired) continue;
    const key = unitKey(unit.site, unit.unit);
    arrivals.set(key, follow(arrivals.get(key), Date.parse(unit.lastReading.time), nowMs));
  }
  return arrivals;
}
