import type {
  FindingChange,
  Phase,
  WatchEvent,
  WatchState,
  WettingEpisode,
} from '@lineside/anomaly';
import { newWatchState, stepWatch } from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import type { ChannelValues, Reading } from '@lineside/readings';
import fc from 'fast-check';
import { MINUTE_MS, outdoors, START_MS } from './observed-unit.ts';

/** One stretch of a unit's life; a history is a list of them. */
export interface Stretch {
  readonly minutes: number;
  readonly cadenceMinutes: number;
  readonly load: 'idle' | 'running' | 'dead' | 'two-phase' | 'uneven' | 'none';
  readonly milliamps: number;
  readonly humidityPercent: number;
  readonly celsius: number;
  readonly plateCelsius: number | null;
  readonly lineVolts: 'none' | 'even' | 'uneven' | 'dead';
  readonly outdoorHumidityPercent: number | null;
  readonly rainMillimetres: number;
  readonly snowMillimetres: number;
  readonly service: string | null;
  /** Per mille of readings with a wild leakage value. */
  readonly wildPerMille: number;
}

const stretch: fc.Arbitrary<Stretch> = fc.record({
  minutes: fc.integer({ min: 1, max: 400 }),
  cadenceMinutes: fc.constantFrom(1, 1, 2, 5),
  load: fc.constantFrom('idle', 'running', 'dead', 'two-phase', 'uneven', 'none'),
  milliamps: fc.constantFrom(0, 0.5, 1, 2, 4, 7.9, 9, 11, 20, 29, 45),
  humidityPercent: fc.constantFrom(0, 30, 55, 79, 81, 92, 97, 100),
  celsius: fc.constantFrom(-30, -5, 0, 0.5, 8, 20, 45, 108),
  plateCelsius: fc.constantFrom(null, null, -6, 3, 19),
  lineVolts: fc.constantFrom('none', 'none', 'even', 'uneven', 'dead'),
  outdoorHumidityPercent: fc.constantFrom(null, 40, 85, 99),
  rainMillimetres: fc.constantFrom(0, 0, 0.1, 2),
  snowMillimetres: fc.constantFrom(0, 0, 1),
  service: fc.constantFrom(
    null,
    null,
    null,
    'fuses-replaced',
    'root-cause',
    'disconnect-opened',
    'disconnect-closed',
    'inspection',
  ),
  wildPerMille: fc.constantFrom(0, 0, 20),
});

export const history: fc.Arbitrary<readonly Stretch[]> = fc.array(stretch, {
  minLength: 1,
  maxLength: 10,
});

const LOADS: { readonly [load in Stretch['load']]: ChannelValues } = {
  idle: { ia: 0.42, ib: 0.41, ic: 0.01 },
  running: { ia: 17.2, ib: 17, ic: 17.3 },
  dead: { ia: 0.003, ib: 0.002, ic: 0 },
  'two-phase': { ia: 29, ib: 0.1, ic: 30 },
  uneven: { ia: 21, ib: 17, ic: 16 },
  none: {},
};
const VOLTS: { readonly [volts in Stretch['lineVolts']]: ChannelValues } = {
  none: {},
  even: { vab: 600, vbc: 601, vca: 599 },
  uneven: { vab: 570, vbc: 615, vca: 615 },
  dead: { vab: 1, vbc: 2, vca: 1 },
};

/** Spreads a history into events; a small wobble keeps values from being all alike. */
export function eventsOf(stretches: readonly Stretch[], startMs: number = START_MS): WatchEvent[] {
  const events: WatchEvent[] = [];
  let atMs = startMs;
  let count = 0;
  for (const each of stretches) {
    if (each.service !== null) {
      const phases: readonly Phase[] = ['a', 'c'];
      events.push({ type: 'service', atMs, action: each.service, phases });
    }
    for (let minute = 0; minute < each.minutes; minute += each.cadenceMinutes) {
      count += 1;
      events.push({
        type: 'reading',
        atMs,
        channels: channelsOf(each, count),
        weather: weatherOf(each, atMs),
      });
      atMs += each.cadenceMinutes * MINUTE_MS;
    }
  }
  return events;
}

function channelsOf(each: Stretch, count: number): ChannelValues {
  const wobble = ((count * 7919) % 101) / 101;
  const wild = (count * 6151) % 1000 < each.wildPerMille;
  const air = {
    rh: Math.min(100, each.humidityPercent + wobble),
    t: each.celsius + 0.3 * wobble,
    ...(each.plateCelsius === null ? {} : { tp: each.plateCelsius }),
  };
  const leak = wild ? 0.9 : (each.milliamps + 0.1 * wobble) / 1000;
  return { ...air, leak, ...LOADS[each.load], ...VOLTS[each.lineVolts] };
}

function weatherOf(each: Stretch, atMs: number): Reading | null {
  if (each.outdoorHumidityPercent === null) return null;
  const reportMs = Math.floor((atMs - 10 * MINUTE_MS) / (5 * MINUTE_MS)) * 5 * MINUTE_MS;
  return outdoors(reportMs, {
    rh: each.outdoorHumidityPercent,
    t: each.celsius > 100 ? 30 : each.celsius - 1,
    rain: each.rainMillimetres,
    snow: each.snowMillimetres,
  });
}

export interface Outcome {
  readonly state: WatchState;
  readonly changes: readonly FindingChange[];
  readonly episodes: readonly WettingEpisode[];
}

/** Judges events one after another, from a given state. */
export function judged(
  events: readonly WatchEvent[],
  unit: Unit,
  from: WatchState = newWatchState(),
): Outcome {
  let state = from;
  const changes: FindingChange[] = [];
  const episodes: WettingEpisode[] = [];
  for (const event of events) {
    const step = stepWatch(state, event, unit);
    state = step.state;
    changes.push(...step.changes);
    episodes.push(...step.episodes);
  }
  return { state, changes, episodes };
}
