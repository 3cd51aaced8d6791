import type { Alarm } from '@lineside/alarms';
import type { UnitRunTruth } from '@lineside/rooftop';
import { describe, expect, it } from 'vitest';
import { scoreUnits } from '../src/index.ts';
import { alarm, DAYS, day, FAILING_TRACK, fault, HOUR_MS, observed, wetting } from './hand-made.ts';

function falseAlarms(truth: Partial<UnitRunTruth>, ...alarms: Alarm[]) {
  return scoreUnits([observed(truth, alarms)]).falseAlarms;
}

const LEAKAGE = alarm('leakage', [{ priority: 'urgent', day: 30 }]);

describe('what explains an alarm', () => {
  it('is a fault of its class while it is there, and nothing of another class', () => {
    expect(falseAlarms({ faults: [FAILING_TRACK] }, LEAKAGE).total).toBe(0);
    expect(falseAlarms({ faults: [fault({ fault: 'loose-terminal' })] }, LEAKAGE).total).toBe(1);
  });

  it('is not a fault that has yet to begin', () => {
    const later = fault({ onsetMs: day(31) });
    expect(falseAlarms({ faults: [later] }, LEAKAGE).total).toBe(1);
  });

  it('is a fault for two days after its repair, and no longer', () => {
    const lately = fault({ endedMs: day(28.5) });
    const longAgo = fault({ endedMs: day(27.5) });
    expect(falseAlarms({ faults: [lately] }, LEAKAGE).total).toBe(0);
    expect(falseAlarms({ faults: [longAgo] }, LEAKAGE).total).toBe(1);
  });

  it('is for a dead unit the failure of a fault that opened fuses, not its onset', () => {
    const before = alarm('supply-loss', [{ priority: 'urgent', day: 69 }]);
    const after = alarm('supply-loss', [{ priority: 'urgent', day: 70.1 }]);
    expect(falseAlarms({ faults: [FAILING_TRACK] }, before).total).toBe(1);
    expect(falseAlarms({ faults: [FAILING_TRACK] }, after).total).toBe(0);
  });

  it('is for moisture water that got in, and neither dew nor fog', () => {
    const moist = alarm('moisture', [{ priority: 'routine', day: 30 }]);
    const leaked = wetting(29.9, 5, { source: 'water-ingress' });
    const fog = wetting(29.9, 5, { source: 'humid-weather' });
    const longDry = wetting(20, 5, { source: 'water-ingress' });
    expect(falseAlarms({ wettings: [leaked] }, moist).total).toBe(0);
    expect(falseAlarms({ wettings: [fog] }, moist).total).toBe(1);
    expect(falseAlarms({ wettings: [longDry] }, moist).total).toBe(1);
  });

  it('is for moisture no water that somebody washed the coils with', () => {
    const moist = alarm('moisture', [{ priority: 'routine', day: 30 }]);
    const wettings = [wetting(29.9, 5, { source: 'water-ingress' })];
    const washing = { lookAlike: 'coil-washing', fromMs: day(29.8), toMs: day(29.95) };
    const later = { ...washing, fromMs: day(29.92) };
    expect(falseAlarms({ wettings, lookAlikes: [washing] }, moist).total).toBe(1);
    expect(falseAlarms({ wettings, lookAlikes: [later] }, moist).total).toBe(0);
  });

  it('is for a sensor alarm a sensor that is off, though no warning is owed', () => {
    const doubt = alarm('sensor', [{ priority: 'routine', day: 30 }]);
    const sticks = fault({ fault: 'humidity-sticks', side: 'node' });
    const lost = fault({ fault: 'readings-lost', side: 'node' });
    expect(falseAlarms({ faults: [sticks] }, doubt).total).toBe(0);
    expect(falseAlarms({ faults: [lost] }, doubt).total).toBe(1);
    expect(falseAlarms({ faults: [sticks] }, LEAKAGE).total).toBe(1);
  });

  it('is for a dead unit somebody who stands at it', () => {
    const dead = alarm('supply-loss', [{ priority: 'urgent', day: 30 }]);
    const visit = { actions: ['inspection'], ended: [], sealed: false };
    const now = { ...visit, atMs: day(30) - 3 * HOUR_MS };
    const earlier = { ...visit, atMs: day(30) - 5 * HOUR_MS };
    expect(falseAlarms({ visits: [now] }, dead).total).toBe(0);
    expect(falseAlarms({ visits: [earlier] }, dead).total).toBe(1);
    expect(falseAlarms({ visits: [now] }, LEAKAGE).total).toBe(1);
  });

  it('is for repeated fuses a swap within ninety days', () => {
    const repeat = alarm('repeat-fuse', [{ priority: 'routine', day: 95 }]);
    const swap = { actions: ['fuses-replaced'], ended: [], sealed: false };
    expect(falseAlarms({ visits: [{ ...swap, atMs: day(10) }] }, repeat).total).toBe(0);
    expect(falseAlarms({ visits: [{ ...swap, atMs: day(4) }] }, repeat).total).toBe(1);
    const other = { ...swap, actions: ['cleaned'], atMs: day(10) };
    expect(falseAlarms({ visits: [other] }, repeat).total).toBe(1);
  });

  it('is an outage for a dead unit, and no look-alike for leakage', () => {
    const dead = alarm('supply-loss', [{ priority: 'urgent', day: 30 }]);
    const span = { fromMs: day(29), toMs: day(31) };
    const outage = { lookAlike: 'utility-outage', ...span };
    const heater = { lookAlike: 'damp-heater', ...span };
    expect(falseAlarms({ lookAlikes: [outage] }, dead).total).toBe(0);
    expect(falseAlarms({ lookAlikes: [heater] }, dead, LEAKAGE).total).toBe(2);
  });

  it('is a sensor fault only when the alarm names a sensor', () => {
    const jump = fault({ fault: 'sensor-jump' });
    const named = alarm('leakage', [{ priority: 'urgent', day: 30, cause: 'sensor-fault' }]);
    expect(falseAlarms({ faults: [jump] }, named).total).toBe(0);
    expect(falseAlarms({ faults: [jump] }, LEAKAGE).total).toBe(1);
  });
});

describe('the count', () => {
  it('goes by the highest priority and by unit-years', () => {
    const risen = alarm('leakage', [
      { priority: 'routine', day: 5 },
      { priority: 'emergency', day: 6 },
    ]);
    const found = falseAlarms({}, risen, LEAKAGE);
    expect(found.count).toEqual({ routine: 0, urgent: 1, emergency: 1 });
    expect(found.perUnitYear).toBeCloseTo(2 / (DAYS / 365.25));
  });
});

describe('chatter', () => {
  it('counts a reopening, and not an escalation', () => {
    const restless = alarm('leakage', [
      { priority: 'routine', day: 5 },
      { priority: 'urgent', day: 6 },
      { priority: 'routine', day: 6.05 },
      { priority: 'urgent', day: 6.1 },
    ]);
    const { chatter } = scoreUnits([observed({}, [restless])]);
    expect(chatter).toMatchObject({ alarms: 1, reopens: 2, raisesPerAlarm: 3 });
    expect(chatter.raisesPerUnitMonth).toBeCloseTo(3 / (DAYS / (365.25 / 12)));
  });

  it('counts a repeat within a day after the clearing, of the same kind', () => {
    const first = alarm('leakage', [{ priority: 'routine', day: 5 }]);
    const soon = alarm('leakage', [{ priority: 'routine', day: 6 }]);
    const late = alarm('leakage', [{ priority: 'routine', day: 8 }]);
    const other = alarm('unbalance', [{ priority: 'routine', day: 5.5 }]);
    const repeats = (...alarms: Alarm[]) =>
      scoreUnits([observed({}, alarms)]).chatter.repeatsWithinDay;
    expect(repeats(soon, first)).toBe(1);
    expect(repeats(first, late)).toBe(0);
    expect(repeats(first, other)).toBe(0);
  });
});
