import type { ChannelValues } from '@lineside/readings';
import { describe, expect, it } from 'vitest';
import { DRY, IDLE, leaking, MINUTE_MS, ObservedUnit } from './observed-unit.ts';

const FAN_AMPS = 5;
const ONE_AMPS = 17;
const BOTH_AMPS = 31;

function amps(of: number): ChannelValues {
  return { ia: of, ib: of, ic: of };
}

/** So many mA beyond the one that the unit leaks in health, at rest and under each load. */
interface Beyond {
  readonly idle?: number;
  readonly fan?: number;
  readonly one?: number;
  readonly both?: number;
}

/** Twelve minutes at rest, under the fan and under one compressor and two, in this order. */
function cycle(unit: ObservedUnit, { idle = 0, fan = 0, one = 0, both = 0 }: Beyond = {}): void {
  unit.hold(12, [DRY, IDLE, leaking(1 + idle)]);
  unit.hold(12, [DRY, amps(FAN_AMPS), leaking(1 + fan)]);
  unit.hold(12, [DRY, amps(ONE_AMPS), leaking(1 + one)]);
  unit.hold(12, [DRY, amps(BOTH_AMPS), leaking(1 + both)]);
}

/** What a sensor errs by in each of them; split-core types do by up to 1 mA/A. */
function error(milliampsPerAmp: number): Beyond {
  return {
    fan: milliampsPerAmp * FAN_AMPS,
    one: milliampsPerAmp * ONE_AMPS,
    both: milliampsPerAmp * BOTH_AMPS,
  };
}

function learnedUnit(): ObservedUnit {
  const unit = new ObservedUnit();
  for (let count = 0; count < 50; count += 1) cycle(unit);
  expect(unit.changes).toEqual([]);
  return unit;
}

describe('an error of the sensor that goes with the amps', () => {
  it('is no leak where the fan alone showed it before the compressors', () => {
    for (const milliampsPerAmp of [0.4, 0.8, 1]) {
      const unit = learnedUnit();
      for (let count = 0; count < 20; count += 1) cycle(unit, error(milliampsPerAmp));
      expect(unit.changes).toEqual([]);
    }
  });

  it('raises as any step does where it comes in the middle of a run, but no further', () => {
    const unit = learnedUnit();
    const { one = 0 } = error(0.9);
    unit.hold(12, [DRY, amps(ONE_AMPS), leaking(1)]);
    unit.hold(4, [DRY, amps(ONE_AMPS), leaking(1 + one)]);
    for (let count = 0; count < 6; count += 1) cycle(unit, error(0.9));
    expect(unit.story('leakage')).toEqual(['opened urgent', 'closed']);
  });

  it('is health once it is proven, and a leak beside it is told', () => {
    for (const leak of [{ one: 11 }, { both: 11 }, { idle: 11 }] as const) {
      const unit = learnedUnit();
      for (let count = 0; count < 4; count += 1) cycle(unit, error(0.8));
      expect(unit.changes).toEqual([]);
      const [load] = Object.keys(leak) as (keyof Beyond)[];
      const beyond = { ...error(0.8), [load!]: (error(0.8)[load!] ?? 0) + 11 };
      for (let count = 0; count < 2; count += 1) cycle(unit, beyond);
      expect(unit.story('leakage')).toContain('opened urgent');
    }
  });
});

describe('a leak of as many milliamps is told as before', () => {
  it.each([
    ['in one compressor', { one: 15, both: 15 }],
    ['in the other compressor', { both: 15 }],
    ['in the fan', { fan: 15, one: 15, both: 15 }],
    ['on the line side', { idle: 15, fan: 15, one: 15, both: 15 }],
  ])('%s, within five minutes of the first reading', (_, beyond) => {
    const unit = learnedUnit();
    const startMs = unit.atMs;
    for (let count = 0; count < 8; count += 1) cycle(unit, beyond);
    const [first] = unit.of('leakage');
    const minutes = 12 * ['idle', 'fan', 'one', 'both'].findIndex((load) => load in beyond);
    expect(unit.story('leakage')).toEqual(['opened urgent']);
    expect(first!.atMs - startMs - minutes * MINUTE_MS).toBeLessThanOrEqual(5 * MINUTE_MS);
  });

  it('and is an emergency from thirty on', () => {
    const unit = learnedUnit();
    for (let count = 0; count < 2; count += 1) cycle(unit, { one: 31, both: 31 });
    expect(unit.story('leakage')).toEqual(['opened emergency']);
  });
});

it('a step at rest leaves room for the error under a load that was never watched', () => {
  const unit = new ObservedUnit();
  unit.hold(30 * 60, [DRY, IDLE, leaking(1)], 2 * MINUTE_MS);
  unit.hold(20, [DRY, IDLE, leaking(12)]);
  unit.hold(20, [DRY, amps(40), leaking(12 + 28)]);
  expect(unit.story('leakage')).toEqual(['opened urgent']);
  unit.hold(20, [DRY, amps(40), leaking(75)]);
  expect(unit.story('leakage')).toEqual(['opened urgent', 'escalated emergency']);
});

it('a load that crosses from one stage into the next is not a new one', () => {
  const unit = new ObservedUnit();
  unit.hold(60, [DRY, IDLE, leaking(1)]);
  for (let count = 0; count < 60; count += 1) {
    unit.hold(20, [DRY, IDLE, leaking(1)], 2 * MINUTE_MS);
    unit.hold(20, [DRY, amps(15), leaking(13)], 2 * MINUTE_MS);
  }
  unit.hold(20, [DRY, amps(14), leaking(12.2)], 2 * MINUTE_MS);
  unit.hold(20, [DRY, amps(14), leaking(24)], 2 * MINUTE_MS);
  expect(unit.story('leakage')).toEqual(['opened urgent']);
});
