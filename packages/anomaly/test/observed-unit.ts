import {
  type FindingChange,
  type FindingKind,
  newWatchState,
  type Phase,
  type RaisedFinding,
  type ReconsideredFinding,
  stepWatch,
  type WatchEvent,
  type WatchState,
  type WettingEpisode,
} from '@lineside/anomaly';
import { type Unit, USUAL_LIMITS } from '@lineside/fleet';
import type { ChannelValues, Reading } from '@lineside/readings';

export const MINUTE_MS = 60_000;
export const HOUR_MS: number = 60 * MINUTE_MS;
export const DAY_MS: number = 24 * HOUR_MS;
/** Where invented histories begin: 2026-01-10T00:00:00Z. */
export const START_MS: number = Date.parse('2026-01-10T00:00:00Z');

export function unitLike(changes: Partial<Unit> = {}): Unit {
  return {
    site: 'harbour-mall',
    id: 'rtu-01',
    name: 'RTU-1',
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
    ...changes,
  };
}

/** Control transformer and crankcase heater: two phases, always there while energised. */
export const IDLE: ChannelValues = { ia: 0.42, ib: 0.41, ic: 0.01 };
export const RUNNING: ChannelValues = { ia: 17.2, ib: 17, ic: 17.3 };
export const NOTHING: ChannelValues = { ia: 0.004, ib: 0.002, ic: 0.003 };
export const DRY: ChannelValues = { rh: 45, t: 20 };

export function leaking(milliamps: number): ChannelValues {
  return { leak: milliamps / 1000 };
}

export function outdoors(atMs: number, channels: ChannelValues): Reading {
  return { site: 'harbour-mall', unit: 'weather', atMs, channels };
}

type WeatherAt = (atMs: number) => Reading | null;

/** Shows a watch one reading after another and remembers what it said. */
export class ObservedUnit {
  readonly unit: Unit;
  state: WatchState = newWatchState();
  atMs: number = START_MS;
  readonly changes: FindingChange[] = [];
  readonly episodes: WettingEpisode[] = [];
  weatherAt: WeatherAt = () => null;

  constructor(unit: Unit = unitLike()) {
    this.unit = unit;
  }

  step(event: WatchEvent): void {
    const step = stepWatch(this.state, event, this.unit);
    this.state = step.state;
    this.changes.push(...step.changes);
    this.episodes.push(...step.episodes);
  }

  read(...parts: readonly ChannelValues[]): void {
    const channels = Object.assign({}, ...parts) as ChannelValues;
    this.step({ type: 'reading', atMs: this.atMs, channels, weather: this.weatherAt(this.atMs) });
  }

  /** Reads the same values every `cadenceMs` for `minutes`; the time then stands at the end. */
  hold(minutes: number, parts: readonly ChannelValues[], cadenceMs: number = MINUTE_MS): void {
    const endMs = this.atMs + minutes * MINUTE_MS;
    for (; this.atMs < endMs; this.atMs += cadenceMs) this.read(...parts);
  }

  service(action: string, phases: readonly Phase[] | null = null): void {
    this.step({ type: 'service', atMs: this.atMs, action, phases });
  }

  /** What opened, rose and closed; what was only reconsidered is apart. */
  of(kind: FindingKind): readonly Exclude<FindingChange, ReconsideredFinding>[] {
    return this.changes
      .filter((change) => change.change !== 'reconsidered')
      .filter((change) => change.kind === kind);
  }

  reconsidered(kind: FindingKind): readonly ReconsideredFinding[] {
    return this.changes
      .filter((change) => change.change === 'reconsidered')
      .filter((change) => change.kind === kind);
  }

  /** `opened urgent`, `escalated emergency`, `closed` of one kind, in order. */
  story(kind: FindingKind): readonly string[] {
    return this.of(kind).map((each) =>
      each.change === 'closed' ? 'closed' : `${each.change} ${each.priority}`,
    );
  }
}

/** The change, narrowed to one that opened or escalated. */
export function raised(change: FindingChange | undefined): RaisedFinding {
  if (change === undefined || change.change === 'closed' || change.change === 'reconsidered') {
    throw new Error(`expected a raised finding, got ${JSON.stringify(change)}`);
  }
  return change;
}
