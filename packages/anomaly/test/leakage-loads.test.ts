import type { ChannelValues } from '@lineside/readings';
import { describe, expect, it } from 'vitest';
import { DRY, IDLE, leaking, MINUTE_MS, ObservedUnit } from './observed-unit.ts';

/** Split-core sensors err by 0.02 to 0.1 % of the load; this one by 0.07 %. */
const ERROR_MILLIAMPS_PER_AMP = 0.7;

function running(amps: number): ChannelValues {
  return { ia: amps, ib: amps, ic: amps };
}

/** Forty minutes at rest and under a load, at which such a sensor errs. */
function cycle(unit: ObservedUnit, amps: number, leakMilliamps = 0): void {
  unit.hold(20, [DRY, IDLE, leaking(1)], 2 * MINUTE_MS);
  const error = ERROR_MILLIAMPS_PER_AMP * amps;
  unit.hold(20, [DRY, running(amps), leaking(error + leakMilliamps)], 2 * MINUTE_MS);
}

/** One compressor for two days, then one and both in turn; they lie within an octave of amps. */
function learnedUnit(): ObservedUnit {
  const unit = new ObservedUnit();
  unit.hold(60, [DRY, IDLE, leaking(1)]);
  for (let count = 0; count < 72; count += 1) cycle(unit, 16);
  for (let count = 0; count < 24; count += 1) {
    cycle(unit, 28);
    cycle(unit, 16);
  }
  return unit;
}

describe('what is healthy under two loads of one stage', () => {
  it('grows with the amps from the load that it was learned under', () => {
    const unit = learnedUnit();
    for (let count = 0; count < 24; count += 1) cycle(unit, 28);
    expect(unit.changes).toEqual([]);
  });

  it('leaves a leak of ten milliamps in either load urgent', () => {
    for (const amps of [16, 28]) {
      const unit = learnedUnit();
      for (let count = 0; count < 3; count += 1) cycle(unit, amps, 11);
      expect(unit.story('leakage')).toEqual(['opened urgent']);
    }
  });

  it('leaves a leak beyond three milliamps and three times in either load routine', () => {
    for (const amps of [16, 28]) {
      const unit = learnedUnit();
      for (let count = 0; count < 12; count += 1) cycle(unit, amps, 6.5);
      expect(unit.story('leakage')).toEqual(['opened routine']);
    }
  });
});
