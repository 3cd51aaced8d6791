import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { HOUR_MS, MINUTE_MS, ObservedUnit, outdoors } from './observed-unit.ts';

const FIVE_MINUTES_MS = 5 * MINUTE_MS;

/** Air outside of one kind, and rain from some time on. */
function under(unit: ObservedUnit, rh: number, t: number, rainMillimetres = 0): void {
  unit.weatherAt = (atMs) => outdoors(atMs - 10 * MINUTE_MS, { rh, t, rain: rainMillimetres });
}

function usual(unit: ObservedUnit): number | null {
  return unit.state.wetness.usualExcessPascals;
}

describe('the excess of vapour that is usual in a compartment', () => {
  it('is unknown until two hours without water about, and without a report', () => {
    const unit = new ObservedUnit();
    unit.hold(300, [{ rh: 70, t: 9 }]);
    expect(usual(unit)).toBeNull();
    under(unit, 85, 2);
    unit.hold(60, [{ rh: 70, t: 9 }]);
    expect(usual(unit)).toBeNull();
    unit.hold(120, [{ rh: 70, t: 9 }]);
    // 70 % of 1148 Pa over 85 % of 706 Pa.
    expect(usual(unit)).toBeCloseTo(204, -1);
  });

  it('is learned by outdoor temperature; a band not seen takes after its nearest', () => {
    const unit = new ObservedUnit();
    under(unit, 75, 8);
    unit.hold(24 * 60, [{ rh: 70, t: 9 }], FIVE_MINUTES_MS);
    const mild = usual(unit)!;
    under(unit, 75, -10);
    unit.hold(5, [{ rh: 60, t: 9 }]);
    expect(usual(unit)).toBeCloseTo(mild, -1);
    unit.hold(24 * 60, [{ rh: 60, t: 9 }], FIVE_MINUTES_MS);
    expect(usual(unit)).toBeGreaterThan(mild + 200);
  });

  it('is not raised by an excess after rain, but lowered when there is less', () => {
    const unit = new ObservedUnit();
    under(unit, 70, 12);
    unit.hold(24 * 60, [{ rh: 75, t: 13 }], FIVE_MINUTES_MS);
    const before = usual(unit)!;
    under(unit, 70, 12, 2);
    unit.hold(12 * 60, [{ rh: 97, t: 13 }], FIVE_MINUTES_MS);
    expect(usual(unit)).toBe(before);
    unit.hold(6 * 60, [{ rh: 66, t: 13 }], FIVE_MINUTES_MS);
    expect(usual(unit)).toBeLessThan(before - 5);
  });

  it('never goes below nothing nor above what it was shown', () => {
    const stretch = fc.record({
      humidity: fc.integer({ min: 20, max: 100 }),
      hours: fc.integer({ min: 1, max: 30 }),
      rain: fc.constantFrom(0, 1),
    });
    fc.assert(
      fc.property(fc.array(stretch, { minLength: 1, maxLength: 6 }), (stretches) => {
        const unit = new ObservedUnit();
        let highest = 0;
        for (const { humidity, hours, rain } of stretches) {
          under(unit, 60, 12, rain);
          unit.hold(hours * 60, [{ rh: humidity, t: 12 }], HOUR_MS / 3);
          highest = Math.max(highest, unit.state.wetness.excessPascals ?? 0);
        }
        expect(usual(unit) ?? 0).toBeGreaterThanOrEqual(0);
        expect(usual(unit) ?? 0).toBeLessThanOrEqual(highest + 0.1);
      }),
      { numRuns: 40 },
    );
  });
});
