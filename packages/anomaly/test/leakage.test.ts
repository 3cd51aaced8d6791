import { limitsFor } from '@lineside/fleet';
import { describe, expect, it } from 'vitest';
import {
  DRY,
  HOUR_MS,
  IDLE,
  leaking,
  MINUTE_MS,
  NOTHING,
  ObservedUnit,
  RUNNING,
  raised,
  unitLike,
} from './observed-unit.ts';

const WET = { rh: 97, t: 4 };

/** A unit that has been seen to leak little under load; nothing is learned by that yet. */
function seenRunning(): ObservedUnit {
  const unit = new ObservedUnit();
  unit.hold(20, [DRY, RUNNING, leaking(1.2)]);
  unit.hold(20, [DRY, { ia: 4.4, ib: 4.5, ic: 4.4 }, leaking(1)]);
  return unit;
}

function causeOf(unit: ObservedUnit, index = 0): string | undefined {
  return raised(unit.of('leakage')[index]).causes[0]?.cause;
}

describe('a step over an absolute limit', () => {
  it.each([
    [1, 10, 'urgent'],
    [1, 14, 'urgent'],
    [2, 14, 'urgent'],
    [1, 30, 'emergency'],
    [1, 35, 'emergency'],
    [2, 35, 'emergency'],
  ])('at %d min cadence to %d mA raises %s within five minutes', (minutes, milliamps, priority) => {
    for (const load of [IDLE, RUNNING]) {
      const unit = new ObservedUnit();
      unit.hold(120, [DRY, load, leaking(1.2)], minutes * MINUTE_MS);
      const stepMs = unit.atMs - minutes * MINUTE_MS;
      unit.hold(20, [DRY, load, leaking(milliamps)], minutes * MINUTE_MS);
      expect(unit.story('leakage')).toEqual([`opened ${priority}`]);
      expect(unit.of('leakage')[0]!.atMs - stepMs).toBeLessThanOrEqual(5 * MINUTE_MS);
    }
  });

  it('that comes with a start raises within five minutes too', () => {
    const unit = seenRunning();
    unit.hold(60, [DRY, IDLE, leaking(1)], 2 * MINUTE_MS);
    const stepMs = unit.atMs;
    unit.hold(20, [DRY, RUNNING, leaking(15)], 2 * MINUTE_MS);
    expect(unit.of('leakage')[0]!.atMs - stepMs).toBeLessThanOrEqual(5 * MINUTE_MS);
  });

  it('rises to emergency while it stands, and never falls', () => {
    const unit = new ObservedUnit();
    unit.hold(30, [DRY, IDLE, leaking(12)]);
    unit.hold(30, [DRY, IDLE, leaking(40)]);
    unit.hold(30, [DRY, IDLE, leaking(12)]);
    expect(unit.story('leakage')).toEqual(['opened urgent', 'escalated emergency']);
  });

  it('obeys the limits of the unit', () => {
    const strict = unitLike();
    const unit = new ObservedUnit({
      ...strict,
      limits: { ...strict.limits, leakageUrgentMilliamps: 5 },
    });
    unit.hold(10, [DRY, IDLE, leaking(6)]);
    expect(unit.story('leakage')).toEqual(['opened urgent']);
  });
});

describe('what raises nothing', () => {
  it('is one wild value, at rest or while running', () => {
    for (const load of [IDLE, RUNNING]) {
      const unit = new ObservedUnit();
      for (let hour = 0; hour < 6; hour += 1) {
        unit.hold(59, [DRY, load, leaking(1)]);
        unit.hold(1, [DRY, load, leaking(900)]);
      }
      unit.hold(30, [DRY, load, leaking(1)]);
      expect(unit.changes).toEqual([]);
    }
  });

  it('is what the sensor may err by under a load that is seen for the first time', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [DRY, IDLE, leaking(1)]);
    for (let cycle = 0; cycle < 40; cycle += 1) {
      unit.hold(20, [DRY, IDLE, leaking(1)], 2 * MINUTE_MS);
      unit.hold(20, [DRY, RUNNING, leaking(14)], 2 * MINUTE_MS);
    }
    expect(unit.changes).toEqual([]);
  });

  it('but not what is there from the very first reading, beyond what most sensors err by', () => {
    const unit = new ObservedUnit();
    unit.hold(5, [DRY, RUNNING, leaking(14)]);
    expect(unit.story('leakage')).toEqual(['opened urgent']);
  });

  it('nor less than that, unless its load goes off within half an hour', () => {
    const goesOff = new ObservedUnit();
    goesOff.hold(25, [DRY, RUNNING, leaking(13)]);
    for (let cycle = 0; cycle < 40; cycle += 1) {
      goesOff.hold(20, [DRY, IDLE, leaking(1)], 2 * MINUTE_MS);
      goesOff.hold(20, [DRY, RUNNING, leaking(13)], 2 * MINUTE_MS);
    }
    expect(goesOff.changes).toEqual([]);
    const runsOn = new ObservedUnit();
    const firstMs = runsOn.atMs;
    runsOn.hold(60, [DRY, RUNNING, leaking(13)]);
    expect(runsOn.story('leakage')).toEqual(['opened urgent']);
    expect(runsOn.of('leakage')[0]!.atMs - firstMs).toBe(31 * MINUTE_MS);
  });

  it('nor less than that, when in six hours it was never seen under less load', () => {
    const unit = new ObservedUnit();
    unit.hold(5 * 60, [DRY, RUNNING, leaking(11)]);
    expect(unit.story('leakage')).toEqual([]);
    unit.hold(2 * 60, [DRY, RUNNING, leaking(11)]);
    expect(unit.story('leakage')).toEqual(['opened urgent']);
  });

  it('but not more than a healthy unit and the largest error together, nor a leak at rest', () => {
    const amps = Math.max(...Object.values(RUNNING));
    const most = new ObservedUnit();
    most.hold(10, [DRY, RUNNING, leaking(amps + 7)]);
    expect(most.story('leakage')).toEqual(['opened urgent']);
    const atRest = new ObservedUnit();
    atRest.hold(10, [DRY, RUNNING, leaking(11)]);
    atRest.hold(5, [DRY, IDLE, leaking(11)]);
    expect(atRest.story('leakage')).toEqual(['opened urgent']);
  });

  it('is the same error in air that is drier than what it was learned in', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [DRY, IDLE, leaking(1)]);
    for (let cycle = 0; cycle < 60; cycle += 1) {
      unit.hold(15, [{ rh: 76, t: 20 }, IDLE, leaking(1)], 2 * MINUTE_MS);
      unit.hold(15, [{ rh: 76, t: 20 }, RUNNING, leaking(14)], 2 * MINUTE_MS);
    }
    unit.hold(60, [DRY, RUNNING, leaking(14)], 2 * MINUTE_MS);
    expect(unit.changes).toEqual([]);
  });

  it('is leakage just below the limit for days', () => {
    const unit = new ObservedUnit();
    unit.hold(3 * 24 * 60, [DRY, IDLE, leaking(9.9)], 2 * MINUTE_MS);
    expect(unit.changes).toEqual([]);
  });

  it('is the sensor within five seconds of a start', () => {
    const unit = new ObservedUnit();
    for (let cycle = 0; cycle < 5; cycle += 1) {
      unit.hold(10, [DRY, IDLE, leaking(1)]);
      unit.read(DRY, IDLE, leaking(1));
      unit.atMs += 1000;
      unit.read(DRY, { ia: 95, ib: 96, ic: 94 }, leaking(60));
      unit.atMs += 1000;
      unit.read(DRY, { ia: 90, ib: 91, ic: 92 }, leaking(50));
      unit.atMs += 58_000;
      unit.hold(10, [DRY, RUNNING, leaking(1.5)]);
    }
    expect(unit.changes).toEqual([]);
  });
});

describe('the end of a finding', () => {
  it('comes after 30 minutes below four fifths of the limit', () => {
    const unit = new ObservedUnit();
    unit.hold(20, [DRY, IDLE, leaking(14)]);
    const lowMs = unit.atMs;
    unit.hold(60, [DRY, IDLE, leaking(7.9)]);
    expect(unit.story('leakage')).toEqual(['opened urgent', 'closed']);
    expect(unit.of('leakage')[1]!.atMs - lowMs).toBe(30 * MINUTE_MS);
  });

  it('waits while leakage hovers between four fifths and the limit', () => {
    const unit = new ObservedUnit();
    unit.hold(20, [DRY, IDLE, leaking(14)]);
    unit.hold(300, [DRY, IDLE, leaking(8.5)]);
    expect(unit.story('leakage')).toEqual(['opened urgent']);
  });

  it('does not come because the fuses went', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [DRY, IDLE, leaking(1)]);
    unit.hold(20, [DRY, IDLE, leaking(14)]);
    unit.hold(10 * 60, [DRY, NOTHING, leaking(0)]);
    expect(unit.story('leakage')).toEqual(['opened urgent']);
  });

  it('does not come because the thermostat rests a leaking load', () => {
    const unit = seenRunning();
    for (let cycle = 0; cycle < 6; cycle += 1) {
      unit.hold(45, [DRY, IDLE, leaking(1)]);
      unit.hold(15, [DRY, RUNNING, leaking(18)]);
    }
    expect(unit.story('leakage')).toEqual(['opened urgent']);
    unit.hold(45, [DRY, IDLE, leaking(1)]);
    unit.hold(45, [DRY, RUNNING, leaking(2)]);
    expect(unit.story('leakage')).toEqual(['opened urgent', 'closed']);
  });

  it('comes after a day of rest when the load is not tried again', () => {
    const unit = seenRunning();
    unit.hold(15, [DRY, RUNNING, leaking(18)]);
    unit.hold(25 * 60, [DRY, IDLE, leaking(1)], 5 * MINUTE_MS);
    expect(unit.story('leakage')).toEqual(['opened urgent', 'closed']);
  });
});

describe('the side a leak is on', () => {
  it('is the line side when it leaks with all contactors open, surer when wet', () => {
    const dry = new ObservedUnit();
    dry.hold(30, [DRY, IDLE, leaking(14)]);
    const wet = new ObservedUnit();
    wet.hold(120, [WET, IDLE, leaking(2)]);
    wet.hold(30, [WET, IDLE, leaking(14)]);
    expect(causeOf(dry)).toBe('line-side-track-to-ground');
    expect(causeOf(wet)).toBe('line-side-track-to-ground');
    const [dryTop] = raised(dry.of('leakage')[0]).causes;
    const [wetTop] = raised(wet.of('leakage')[0]).causes;
    expect(wetTop!.probability).toBeGreaterThan(dryTop!.probability);
    expect(raised(wet.of('leakage')[0]).headline).toBe(
      'Leakage to ground 14 mA, rising, line side',
    );
  });

  it('is the load when it comes with every start and goes with every stop', () => {
    const unit = seenRunning();
    unit.hold(60, [DRY, IDLE, leaking(1)]);
    unit.hold(15, [DRY, RUNNING, leaking(16)]);
    expect(causeOf(unit)).toBe('load-insulation');
    unit.hold(15, [DRY, IDLE, leaking(1)]);
    unit.hold(15, [DRY, RUNNING, leaking(45)]);
    const escalated = raised(unit.of('leakage')[1]);
    expect(escalated.change).toBe('escalated');
    expect(escalated.causes[0]!.cause).toBe('load-insulation');
    expect(escalated.causes[0]!.probability).toBeGreaterThanOrEqual(0.8);
    expect(escalated.headline).toContain('load side');
  });

  it('is the load when a slow growth went with every stop, though it crosses in mid-run', () => {
    const unit = seenRunning();
    for (let cycle = 0; cycle < 8; cycle += 1) {
      unit.hold(20, [DRY, IDLE, leaking(1)]);
      unit.hold(20, [DRY, RUNNING, leaking(6 + 0.4 * cycle)]);
    }
    unit.hold(20, [DRY, IDLE, leaking(1)]);
    unit.hold(10, [DRY, RUNNING, leaking(9.5)]);
    unit.hold(10, [DRY, RUNNING, leaking(18)]);
    expect(causeOf(unit)).toBe('load-insulation');
  });

  it('is the line side when it stayed as the load went off before', () => {
    const unit = seenRunning();
    unit.hold(20, [DRY, RUNNING, leaking(8)]);
    unit.hold(20, [DRY, IDLE, leaking(7.8)]);
    unit.hold(20, [DRY, RUNNING, leaking(8.2)]);
    unit.hold(10, [DRY, RUNNING, leaking(10.4)]);
    expect(causeOf(unit)).toBe('line-side-track-to-ground');
  });

  it('is the load when it comes and goes with one of several stages', () => {
    const fans = { ia: 4.4, ib: 4.5, ic: 4.4 };
    const unit = seenRunning();
    for (let cycle = 0; cycle < 4; cycle += 1) {
      unit.hold(40, [DRY, fans, leaking(1)]);
      unit.hold(20, [DRY, RUNNING, leaking(12)]);
    }
    expect(unit.story('leakage')).toEqual(['opened urgent']);
    expect(causeOf(unit)).toBe('load-insulation');
  });

  it('is undetermined when it steps in the middle of a dry run', () => {
    const unit = new ObservedUnit();
    unit.hold(30, [DRY, IDLE, leaking(1)]);
    unit.hold(30, [DRY, RUNNING, leaking(1.2)]);
    unit.hold(10, [DRY, RUNNING, leaking(14)]);
    expect(causeOf(unit)).toBe('unknown');
    expect(raised(unit.of('leakage')[0]).headline).toContain('side not known yet');
  });

  it('leans to the line side when it rises in the middle of a wet run', () => {
    const unit = new ObservedUnit();
    unit.hold(30, [WET, IDLE, leaking(1)]);
    unit.hold(30, [WET, RUNNING, leaking(4)]);
    unit.hold(10, [WET, RUNNING, leaking(14)]);
    expect(causeOf(unit)).toBe('line-side-track-to-ground');
  });

  it('is not claimed where a drive leaks in health, nor without currents', () => {
    const drive = new ObservedUnit(unitLike({ drive: true }));
    drive.hold(10, [DRY, IDLE, leaking(14)]);
    const blind = new ObservedUnit();
    blind.hold(10, [DRY, leaking(14)]);
    expect(causeOf(drive)).toBe('unknown');
    expect(causeOf(blind)).toBe('unknown');
  });

  it('is the line side beside a drive too, where its offset at rest is known', () => {
    const unit = new ObservedUnit(unitLike({ drive: true, limits: limitsFor({}, true) }));
    unit.hold(30 * 60, [DRY, IDLE, leaking(20)], 2 * MINUTE_MS);
    unit.hold(4 * 60, [WET, IDLE, leaking(24)], 2 * MINUTE_MS);
    expect(unit.changes).toEqual([]);
    unit.hold(20, [WET, IDLE, leaking(34)], 2 * MINUTE_MS);
    expect(unit.story('leakage')).toEqual(['opened urgent']);
    expect(causeOf(unit)).toBe('line-side-track-to-ground');
  });

  it('is nothing when a drive speeds up', () => {
    const unit = new ObservedUnit(unitLike({ drive: true, limits: limitsFor({}, true) }));
    unit.hold(30 * 60, [DRY, RUNNING, leaking(20)], 2 * MINUTE_MS);
    unit.hold(3 * 60, [DRY, RUNNING, leaking(36)], 2 * MINUTE_MS);
    expect(unit.changes).toEqual([]);
  });

  it('always has causes that sum to one, most probable first, and says what is not learned', () => {
    const unit = new ObservedUnit();
    unit.hold(10, [DRY, IDLE, leaking(14)]);
    const { causes, evidence } = raised(unit.of('leakage')[0]);
    const sum = causes.reduce((total, each) => total + each.probability, 0);
    expect(sum).toBeCloseTo(1, 6);
    expect(evidence).toMatchObject({ leakageMilliamps: 14, baselineLearned: false, side: 'line' });
  });
});

it('leakage that is sent an hour apart is still judged', () => {
  const unit = new ObservedUnit();
  unit.hold(4 * 60, [DRY, IDLE, leaking(14)], HOUR_MS);
  unit.hold(4 * 60, [DRY, IDLE, leaking(1)], HOUR_MS);
  expect(unit.story('leakage')).toEqual(['opened urgent', 'closed']);
});
