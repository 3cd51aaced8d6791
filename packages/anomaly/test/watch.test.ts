import {
  conditionOf,
  judgedThroughMs,
  newWatchState,
  restoreWatchState,
  stepWatch,
} from '@lineside/anomaly';
import type { ChannelValues } from '@lineside/readings';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  DRY,
  IDLE,
  leaking,
  MINUTE_MS,
  ObservedUnit,
  RUNNING,
  START_MS,
  unitLike,
} from './observed-unit.ts';

const unit = unitLike();

function reading(atMs: number, channels: ChannelValues) {
  return { type: 'reading', atMs, channels, weather: null } as const;
}

describe('readings of one instant', () => {
  it('count channel by channel: a pack split over two messages is judged like a whole one', () => {
    const whole = new ObservedUnit();
    const split = new ObservedUnit();
    for (const milliamps of [1, 1, 1, 15, 15, 15]) {
      whole.read(DRY, IDLE, leaking(milliamps));
      split.read(IDLE);
      split.read(DRY, leaking(milliamps));
      whole.atMs += MINUTE_MS;
      split.atMs += MINUTE_MS;
    }
    expect(split.changes).toEqual(whole.changes);
    expect(split.story('leakage')).toEqual(['opened urgent']);
    expect(conditionOf(split.state, unit)).toEqual(conditionOf(whole.state, unit));
  });

  it('complete three phases that came in two messages', () => {
    const split = new ObservedUnit();
    split.read({ ia: 17 });
    split.read({ ib: 17.1, ic: 16.9 });
    expect(conditionOf(split.state, unit)?.operatingState).toBe('running');
  });

  it('never count twice: one wild value redelivered raises nothing', () => {
    const observed = new ObservedUnit();
    observed.hold(10, [DRY, IDLE, leaking(1)]);
    for (let times = 0; times < 5; times += 1) observed.read(DRY, IDLE, leaking(700));
    observed.atMs += MINUTE_MS;
    observed.hold(10, [DRY, IDLE, leaking(1)]);
    expect(observed.changes).toEqual([]);
  });

  it('keep the first value when a second one differs', () => {
    const first = stepWatch(newWatchState(), reading(START_MS, { leak: 0.001 }), unit).state;
    const second = stepWatch(first, reading(START_MS, { leak: 0.9, rh: 50, t: 20 }), unit).state;
    expect(second.instantChannels).toEqual({ leak: 0.001, rh: 50, t: 20 });
    expect(conditionOf(second, unit)?.leakageMilliamps).toBe(1);
  });
});

describe('any channel may be missing', () => {
  const names = ['rh', 't', 'tp', 'leak', 'ia', 'ib', 'ic', 'vab', 'vbc', 'vca', 'van'] as const;
  it('or at the end of its plausible range, and nothing breaks', () => {
    const value = fc.constantFrom(undefined, 0, 1, 50, 100, -60, 110, 10, 2000, 1000);
    const channels = fc.record(
      Object.fromEntries(names.map((name) => [name, value])) as Record<
        (typeof names)[number],
        typeof value
      >,
    );
    fc.assert(
      fc.property(fc.array(channels, { maxLength: 60 }), (list) => {
        let state = newWatchState();
        list.forEach((each, index) => {
          const sent = Object.fromEntries(
            Object.entries(each).filter(([, number]) => number !== undefined),
          );
          state = stepWatch(state, reading(START_MS + index * MINUTE_MS, sent), unit).state;
        });
        expect(restoreWatchState(JSON.parse(JSON.stringify(state)))).toEqual(state);
      }),
    );
  });

  it('such as everything', () => {
    const { state } = stepWatch(newWatchState(), reading(START_MS, {}), unit);
    expect(judgedThroughMs(state)).toBe(START_MS);
    expect(conditionOf(state, unit)).toMatchObject({
      operatingState: 'unknown',
      leakageMilliamps: null,
      dewPointMarginKelvin: null,
      learningBaseline: true,
    });
  });
});

describe('a saved state', () => {
  const observed = new ObservedUnit();
  observed.hold(90, [{ rh: 95, t: 9 }, RUNNING, leaking(14)]);
  const saved: Record<string, unknown> = JSON.parse(JSON.stringify(observed.state));

  it('is restored when it is whole', () => {
    expect(restoreWatchState(saved)).toEqual(observed.state);
    expect(restoreWatchState(JSON.parse(JSON.stringify(newWatchState())))).toEqual(newWatchState());
  });

  it.each<[string, unknown]>([
    ['nothing', null],
    ['a number', 7],
    ['an empty object', {}],
    ['a list', []],
    ['another version', { ...saved, version: 0 }],
    ['a missing slice', { ...saved, leakage: undefined }],
    ['a slice of another shape', { ...saved, leakage: { standing: 'urgent' } }],
    ['a field too many', { ...saved, extra: 1 }],
    ['an unknown priority', { ...saved, moisture: { ...observed.state.moisture, standing: 'x' } }],
    ['a text for a time', { ...saved, instantMs: '2026-01-10' }],
    ['a channel that is none', { ...saved, instantChannels: { watts: 5 } }],
    [
      'a list over its limit',
      {
        ...saved,
        wetness: {
          ...observed.state.wetness,
          earlierMinutes: Array.from({ length: 500 }, () => 1),
        },
      },
    ],
  ])('is refused when it is %s', (_name, json) => {
    expect(restoreWatchState(json)).toBeNull();
  });

  it('knows nothing before the first reading', () => {
    expect(judgedThroughMs(newWatchState())).toBeNull();
    expect(conditionOf(newWatchState(), unit)).toBeNull();
  });
});
