import {
  crossedLimits,
  DRIVE_LEAKAGE_LIMITS,
  LIMIT_KEYS,
  type LimitKey,
  limitsFor,
  type StatedLimits,
  USUAL_LIMITS,
} from '@lineside/fleet';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

const KEYS = Object.keys(LIMIT_KEYS) as LimitKey[];

function statedLimits(): fc.Arbitrary<StatedLimits> {
  const value = fc.double({ min: 0.1, max: 500, noNaN: true });
  const model = Object.fromEntries(KEYS.map((key) => [key, value]));
  return fc.record(model, { requiredKeys: [] });
}

describe('limits', () => {
  it('are the usual ones where nothing is stated', () => {
    expect(limitsFor({}, false)).toEqual(USUAL_LIMITS);
  });

  it('of leakage are higher on a feed with a drive', () => {
    expect(limitsFor({}, true)).toEqual({ ...USUAL_LIMITS, ...DRIVE_LEAKAGE_LIMITS });
  });

  it('are what is stated, key by key', () => {
    for (const key of KEYS) {
      expect(limitsFor({ [key]: 7 }, false)[LIMIT_KEYS[key]]).toBe(7);
    }
  });

  it('that are not stated give way to those that are', () => {
    expect(limitsFor({ leakageUrgent: 50 }, false)).toMatchObject({
      leakageRoutineMilliamps: 3,
      leakageUrgentMilliamps: 50,
      leakageEmergencyMilliamps: 50,
    });
    expect(limitsFor({ leakageUrgent: 10 }, true)).toMatchObject({
      leakageRoutineMilliamps: 10,
      leakageUrgentMilliamps: 10,
      leakageEmergencyMilliamps: 300,
    });
    expect(limitsFor({ leakageRoutine: 20, leakageEmergency: 25 }, false)).toMatchObject({
      leakageUrgentMilliamps: 20,
    });
  });

  it('always rise from routine to emergency, unless what is stated crosses', () => {
    fc.assert(
      fc.property(statedLimits(), fc.boolean(), (stated, drive) => {
        const limits = limitsFor(stated, drive);
        const rises =
          limits.leakageRoutineMilliamps <= limits.leakageUrgentMilliamps &&
          limits.leakageUrgentMilliamps <= limits.leakageEmergencyMilliamps &&
          limits.currentUnbalanceRoutinePercent <= limits.currentUnbalanceUrgentPercent &&
          limits.voltageUnbalanceRoutinePercent <= limits.voltageUnbalanceUrgentPercent &&
          limits.voltageUnbalanceUrgentPercent <= limits.voltageUnbalanceEmergencyPercent &&
          limits.silentRoutineMinutes <= limits.silentUrgentMinutes;
        expect(rises).toBe(crossedLimits(stated) === null);
        for (const key of KEYS) {
          if (stated[key] !== undefined) expect(limits[LIMIT_KEYS[key]]).toBe(stated[key]);
        }
      }),
    );
  });

  it('that cross are named, also with one step between them left out', () => {
    expect(crossedLimits({ leakageRoutine: 40, leakageEmergency: 30 })).toEqual([
      'leakageRoutine',
      'leakageEmergency',
    ]);
    expect(crossedLimits({ silentRoutine: 60, silentUrgent: 60 })).toBeNull();
  });
});
