import { describe, expect, it } from 'vitest';
import { ObservedUnit, unitLike } from './observed-unit.ts';

const UNKNOWN_LOADS = unitLike({ contactors: [] });
const REST = { ia: 0.4, ib: 0.4, ic: 0 };
const FAN = { ia: 2.7, ib: 2.7, ic: 0 };
const COOLING = { ia: 12, ib: 12, ic: 9.3 };

describe('a fan on two phases', () => {
  it('is no lost phase on the day after an outlet lent it current on the third', () => {
    const unit = new ObservedUnit(UNKNOWN_LOADS);
    unit.hold(60, [FAN]);
    unit.hold(60, [COOLING]);
    unit.hold(60, [{ ...FAN, ic: 1.4 }]);
    unit.hold(60, [COOLING]);
    unit.hold(60, [FAN]);
    expect(unit.story('phase-loss')).toEqual([]);
  });

  it('does not hide a compressor that loses that phase', () => {
    const unit = new ObservedUnit(UNKNOWN_LOADS);
    unit.hold(60, [FAN]);
    unit.hold(60, [COOLING]);
    unit.hold(2, [{ ia: 18.8, ib: 18.8, ic: 0 }]);
    expect(unit.story('phase-loss')).toEqual(['opened emergency']);
  });

  it('is no phase lost upstream while an outlet carries twice as much on the third', () => {
    const unit = new ObservedUnit(UNKNOWN_LOADS);
    unit.hold(60, [FAN]);
    unit.hold(30, [REST]);
    unit.hold(1, [FAN]);
    unit.hold(20, [{ ...FAN, ic: 5.4 }]);
    expect(unit.story('phase-loss')).toEqual([]);
  });

  it('is no lost phase when its starts alone reach what counts as running', () => {
    const unit = new ObservedUnit(UNKNOWN_LOADS);
    unit.hold(60, [COOLING]);
    for (let start = 0; start < 4; start += 1) {
      unit.hold(20, [REST]);
      unit.hold(1, [{ ia: 9.4, ib: 9.4, ic: 0 }]);
      unit.hold(20, [{ ia: 1.9, ib: 1.9, ic: 0 }]);
    }
    expect(unit.story('phase-loss')).toEqual([]);
  });
});

describe('an outlet in use while the unit starts', () => {
  it('is no phase lost upstream though it alone had looked like running', () => {
    const unit = new ObservedUnit(UNKNOWN_LOADS);
    unit.hold(60, [{ ia: 12, ib: 12, ic: 12 }]);
    unit.hold(30, [REST]);
    unit.hold(5, [{ ...REST, ic: 6.5 }]);
    unit.hold(20, [{ ia: 3.6, ib: 3.3, ic: 6.5 }]);
    expect(unit.story('phase-loss')).toEqual([]);
  });
});

describe('an outlet on the third phase at rest', () => {
  it('is no lost phase when it goes just after a load that leaks has stopped', () => {
    const unit = new ObservedUnit(UNKNOWN_LOADS);
    unit.hold(60, [{ ...REST, ic: 1.7 }, { leak: 0.0007 }]);
    unit.hold(60, [COOLING, { leak: 0.018 }]);
    unit.hold(20, [REST, { leak: 0.0007 }]);
    expect(unit.story('phase-loss')).toEqual([]);
  });
});
