import { conditionOf, type OperatingState } from '@lineside/anomaly';
import type { ChannelValues } from '@lineside/readings';
import { describe, expect, it } from 'vitest';
import { IDLE, leaking, NOTHING, ObservedUnit, RUNNING, unitLike } from './observed-unit.ts';

function stateOf(unit: ObservedUnit): OperatingState | undefined {
  return conditionOf(unit.state, unit.unit)?.operatingState;
}

function stateAfter(...steps: readonly (readonly [minutes: number, channels: ChannelValues])[]) {
  const unit = new ObservedUnit();
  for (const [minutes, channels] of steps) unit.hold(minutes, [channels]);
  return stateOf(unit);
}

describe('the operating state', () => {
  it('is running with a contactor in and idle with heater and transformer on two phases', () => {
    expect(stateAfter([5, RUNNING])).toBe('running');
    expect(stateAfter([5, IDLE])).toBe('idle');
    expect(stateAfter([5, { ia: 0.98, ib: 1, ic: 0.02 }])).toBe('idle');
    expect(stateAfter([5, { ia: 0.5, ib: 1, ic: 0.5 }])).toBe('idle');
  });

  it('is dead when the idle current that was always there is gone', () => {
    expect(stateAfter([30, IDLE], [2, NOTHING])).toBe('dead');
    expect(stateAfter([30, IDLE], [30, RUNNING], [2, NOTHING])).toBe('dead');
  });

  it('is unknown, not dead, where no idle current was seen before', () => {
    expect(stateAfter([2, NOTHING])).toBe('unknown');
    expect(stateAfter([30, RUNNING], [30, NOTHING])).toBe('unknown');
  });

  it('is unknown where the idle current is within three times the sensor floor', () => {
    expect(stateAfter([60, { ia: 0.06, ib: 0.06, ic: 0 }], [30, NOTHING])).toBe('unknown');
  });

  it('is unknown where the idle current is weak every other time', () => {
    const unit = new ObservedUnit();
    for (let count = 0; count < 40; count += 1) {
      unit.hold(1, [IDLE]);
      unit.hold(1, [{ ia: 0.06, ib: 0.06, ic: 0 }]);
    }
    unit.hold(5, [NOTHING]);
    expect(stateOf(unit)).toBe('unknown');
  });

  it('is idle without current while leakage shows that the line is live', () => {
    expect(stateAfter([30, { ...NOTHING, ...leaking(0.8) }])).toBe('idle');
  });

  it('is told by voltage where there is voltage', () => {
    const dead = { van: 2, vbn: 1, vcn: 3 };
    const live = { van: 346, vbn: 347, vcn: 345 };
    expect(stateAfter([3, { ...NOTHING, ...dead }])).toBe('dead');
    expect(stateAfter([30, IDLE], [3, { ...NOTHING, ...live }])).toBe('idle');
    expect(stateAfter([3, { ...NOTHING, vab: 3, vbc: 2, vca: 1 }])).toBe('dead');
    expect(stateAfter([3, { van: 2, vbn: 1, vcn: 3 }])).toBe('dead');
  });

  it('uses full-load amps of the contactors, and survives a unit that states none', () => {
    const small = unitLike({
      contactors: [{ name: 'C1', load: 'fan', poles: 3, flaAmps: 5 }],
    });
    const unit = new ObservedUnit(small);
    unit.hold(3, [{ ia: 1.7, ib: 1.7, ic: 1.6 }]);
    expect(stateOf(unit)).toBe('running');
    const bare = new ObservedUnit(unitLike({ contactors: [] }));
    bare.hold(3, [RUNNING]);
    expect(stateOf(bare)).toBe('running');
  });

  it('is unknown once no currents came for an hour', () => {
    const unit = new ObservedUnit();
    unit.hold(5, [RUNNING]);
    unit.hold(120, [leaking(1)]);
    expect(stateOf(unit)).toBe('unknown');
  });
});
