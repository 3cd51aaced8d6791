import { describe, expect, it } from 'vitest';
import {
  DRY,
  IDLE,
  leaking,
  MINUTE_MS,
  NOTHING,
  ObservedUnit,
  outdoors,
  RUNNING,
  raised,
  unitLike,
} from './observed-unit.ts';

const DEAD_VOLTS = { van: 1, vbn: 2, vcn: 0 };
/** Two fuses of three are open: nothing can run on the one phase that is left. */
const ONE_PHASE_VOLTS = { van: 1, vbn: 2, vcn: 346 };
const LIVE_VOLTS = { van: 346, vbn: 347, vcn: 345 };

function known(): ObservedUnit {
  const unit = new ObservedUnit();
  unit.hold(60, [DRY, IDLE, leaking(1)]);
  return unit;
}

describe('a dead unit', () => {
  it('is urgent after six minutes', () => {
    const unit = known();
    const deadMs = unit.atMs;
    unit.hold(60, [DRY, NOTHING, leaking(0)]);
    expect(unit.story('supply-loss')).toEqual(['opened urgent']);
    const finding = raised(unit.of('supply-loss')[0]);
    expect(finding.atMs - deadMs).toBe(6 * MINUTE_MS);
    expect(finding.headline).toBe('Unit dead for 6 min: fuses gone or disconnect open');
    expect(finding.causes[0]!.cause).toBe('disconnect-open-or-fuses-open');
    expect(finding.evidence).toMatchObject({ seenBy: 'missing idle current', usualIdleAmps: 0.42 });
  });

  it('is an emergency at the second reading after leakage over the urgent limit', () => {
    const unit = known();
    unit.hold(3, [DRY, IDLE, leaking(45)]);
    unit.hold(20, [DRY, RUNNING, leaking(2)]);
    const deadMs = unit.atMs;
    unit.hold(20, [DRY, NOTHING, leaking(0)]);
    expect(unit.story('supply-loss')).toEqual(['opened emergency']);
    const finding = raised(unit.of('supply-loss')[0]);
    expect(finding.atMs - deadMs).toBe(MINUTE_MS);
    expect(finding.headline).toBe('Unit dead after leakage of 45 mA: fuses gone');
    expect(finding.causes[0]!.cause).toBe('open-fuse');
  });

  it('is an emergency after leakage of ten times its earlier level, even as an interval peak', () => {
    const unit = new ObservedUnit();
    unit.hold(24 * 60, [DRY, IDLE, leaking(0.5)], 5 * MINUTE_MS);
    unit.hold(1, [DRY, IDLE, leaking(0.6), { leakmax: 0.008 }]);
    unit.hold(3, [DRY, NOTHING, leaking(0)]);
    expect(unit.story('supply-loss')).toEqual(['opened emergency']);
  });

  it('is merely urgent when the surge was the start of a load that then ran', () => {
    const unit = known();
    unit.hold(1, [DRY, RUNNING, leaking(22)]);
    unit.hold(20, [DRY, RUNNING, leaking(2)]);
    unit.hold(20, [DRY, NOTHING, leaking(0)]);
    expect(unit.story('supply-loss')).toEqual(['opened urgent']);
    const grounded = known();
    grounded.hold(1, [DRY, RUNNING, leaking(22)]);
    grounded.hold(3, [DRY, NOTHING, leaking(0)]);
    expect(grounded.story('supply-loss')).toEqual(['opened emergency']);
  });

  it('behind an open door is a visit, unless leakage surged just before', () => {
    const open = { door: 1 };
    const visit = known();
    visit.hold(3, [DRY, IDLE, leaking(12), { door: 0 }]);
    visit.hold(20, [DRY, IDLE, leaking(1), { door: 0 }]);
    visit.hold(40, [DRY, NOTHING, leaking(0), open]);
    expect(visit.of('supply-loss')).toEqual([]);
    const flash = known();
    flash.hold(3, [DRY, IDLE, leaking(12), open]);
    flash.hold(3, [DRY, NOTHING, leaking(0), open]);
    expect(flash.story('supply-loss')).toEqual(['opened emergency']);
  });

  it('is merely urgent when the surge is more than an hour old', () => {
    const unit = known();
    unit.hold(3, [DRY, IDLE, leaking(45)]);
    unit.hold(90, [DRY, IDLE, leaking(1)]);
    unit.hold(20, [DRY, NOTHING, leaking(0)]);
    expect(unit.story('supply-loss')).toEqual(['opened urgent']);
  });

  it('is told by voltage where idle current is not known', () => {
    const unit = new ObservedUnit();
    unit.hold(30, [RUNNING, LIVE_VOLTS]);
    unit.hold(30, [NOTHING, DEAD_VOLTS]);
    expect(unit.story('supply-loss')).toEqual(['opened urgent']);
    expect(raised(unit.of('supply-loss')[0]).evidence).toMatchObject({ seenBy: 'voltage' });
  });

  it('closes after five minutes live', () => {
    const unit = known();
    unit.hold(30, [DRY, NOTHING]);
    const liveMs = unit.atMs;
    unit.hold(30, [DRY, IDLE]);
    expect(unit.story('supply-loss')).toEqual(['opened urgent', 'closed']);
    expect(unit.of('supply-loss')[1]!.atMs - liveMs).toBe(5 * MINUTE_MS);
  });
});

describe('what is not supply loss', () => {
  it('is a unit that is off: smoke, building control and overload stops leave idle current', () => {
    const unit = known();
    unit.hold(3 * 24 * 60, [DRY, IDLE, leaking(1)], 5 * MINUTE_MS);
    expect(unit.changes).toEqual([]);
  });

  it('is one reading without current', () => {
    const unit = known();
    for (let hour = 0; hour < 5; hour += 1) {
      unit.hold(1, [DRY, NOTHING]);
      unit.hold(59, [DRY, IDLE]);
    }
    expect(unit.changes).toEqual([]);
  });

  it('is a unit whose idle current lies within the sensor floor', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [DRY, { ia: 0.05, ib: 0.05, ic: 0 }]);
    unit.hold(60, [DRY, RUNNING]);
    unit.hold(300, [DRY, { ia: 0.01, ib: 0.02, ic: 0 }]);
    expect(unit.changes).toEqual([]);
  });
});

describe('a disconnect that is recorded as opened', () => {
  it('explains a dead unit until it is recorded as closed', () => {
    const unit = known();
    unit.service('disconnect-opened');
    unit.hold(300, [DRY, NOTHING]);
    expect(unit.story('supply-loss')).toEqual([]);
    unit.service('disconnect-closed');
    unit.hold(5, [DRY, NOTHING]);
    expect(unit.story('supply-loss')).toEqual([]);
    unit.hold(9, [DRY, NOTHING]);
    expect(unit.story('supply-loss')).toEqual(['opened urgent']);
  });

  it('ends a finding that stands, at the time of the record', () => {
    const unit = known();
    unit.hold(30, [DRY, NOTHING]);
    unit.service('disconnect-opened');
    expect(unit.story('supply-loss')).toEqual(['opened urgent', 'closed']);
    expect(unit.of('supply-loss')[1]!.atMs).toBe(unit.atMs);
  });

  it('is over once the unit has run for an hour without the closing being recorded', () => {
    const unit = known();
    unit.service('disconnect-opened');
    unit.hold(60, [DRY, NOTHING]);
    unit.hold(90, [DRY, IDLE]);
    unit.hold(30, [DRY, NOTHING]);
    expect(unit.story('supply-loss')).toEqual(['opened urgent']);
  });
});

describe('two fuses of three that open at rest', () => {
  it('leave a dead unit, though one voltage to ground is there', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [DRY, IDLE, LIVE_VOLTS, leaking(1)]);
    unit.hold(30, [DRY, NOTHING, ONE_PHASE_VOLTS, leaking(0)]);
    expect(unit.story('supply-loss')).toEqual(['opened urgent']);
  });

  it('are no loss where idle current flows on: the voltage taps have failed', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [DRY, IDLE, LIVE_VOLTS, leaking(1)]);
    unit.hold(30, [DRY, IDLE, ONE_PHASE_VOLTS, leaking(1)]);
    expect(unit.story('supply-loss')).toEqual([]);
  });

  const cornerGrounded = (): ObservedUnit => {
    const known = unitLike();
    const supply = { ...known.supply, grounding: 'corner-grounded-delta' } as const;
    return new ObservedUnit({ ...known, supply });
  };

  it('leave a live unit on a corner-grounded system, where one phase is ground', () => {
    const unit = cornerGrounded();
    unit.hold(60, [DRY, { ia: 0.02, ib: 0.02, ic: 0.02 }, { van: 0, vbn: 2, vcn: 600 }]);
    expect(unit.story('supply-loss')).toEqual([]);
  });

  it('leave a dead unit there when its idle current is gone as well', () => {
    const unit = cornerGrounded();
    unit.hold(60, [DRY, IDLE, { van: 600, vbn: 0, vcn: 600 }]);
    unit.hold(8, [DRY, NOTHING, { van: 600, vbn: 0, vcn: 2 }]);
    expect(unit.story('supply-loss')).toEqual(['opened urgent']);
  });
});

describe('a unit that dies as vapour comes into its compartment', () => {
  const SPRAYED = { rh: 52, t: 19.5 };

  it('has most likely been switched off to be washed: routine, then urgent after three hours', () => {
    const unit = known();
    const deadMs = unit.atMs;
    unit.hold(240, [SPRAYED, NOTHING, leaking(0)]);
    expect(unit.story('supply-loss')).toEqual(['opened routine', 'escalated urgent']);
    const [told, later] = unit.of('supply-loss');
    expect(raised(told).atMs - deadMs).toBe(6 * MINUTE_MS);
    expect(raised(told).causes[0]!.cause).toBe('disconnect-open-or-fuses-open');
    expect(raised(later).atMs - deadMs).toBe(180 * MINUTE_MS);
  });

  it('stays routine when the air dries before the power is back', () => {
    const unit = known();
    unit.hold(30, [SPRAYED, NOTHING, leaking(0)]);
    unit.hold(60, [DRY, NOTHING, leaking(0)]);
    unit.hold(10, [DRY, IDLE, leaking(1)]);
    expect(unit.story('supply-loss')).toEqual(['opened routine', 'closed']);
  });

  it('is urgent at once when the air merely cooled: its vapour is what it was', () => {
    const unit = known();
    unit.hold(30, [{ rh: 49.4, t: 18.5 }, NOTHING, leaking(0)]);
    expect(unit.story('supply-loss')).toEqual(['opened urgent']);
  });

  it('is urgent at once when the air was saturated before: water opens fuses', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [{ rh: 94, t: 20 }, IDLE, leaking(1)]);
    unit.hold(30, [{ rh: 100, t: 20 }, NOTHING, leaking(0)]);
    expect(unit.story('supply-loss')).toEqual(['opened urgent']);
  });

  it.each([
    [2, 'opened urgent'],
    [8, 'opened routine'],
  ])('in damp air, %i hours after rain: %s', (hours, story) => {
    const damp = { rh: 85, t: 12 };
    const unit = new ObservedUnit();
    const rainMs = unit.atMs + 10 * MINUTE_MS;
    unit.weatherAt = (atMs) =>
      outdoors(atMs, { rh: 80, t: 8, rain: Math.abs(atMs - rainMs) < 5 * MINUTE_MS ? 2 : 0 });
    unit.hold(hours * 60, [damp, IDLE, leaking(1)]);
    unit.hold(30, [{ rh: 92, t: 12 }, NOTHING, leaking(0)]);
    expect(unit.story('supply-loss')).toEqual([story]);
  });

  it('is urgent at once after fuses were replaced without a root cause', () => {
    const unit = known();
    unit.service('fuses-replaced', ['a']);
    unit.hold(60, [DRY, IDLE, leaking(1)]);
    unit.hold(30, [SPRAYED, NOTHING, leaking(0)]);
    expect(unit.story('supply-loss')).toEqual(['opened urgent']);
  });

  it('is an emergency still after a surge of leakage', () => {
    const unit = known();
    unit.hold(3, [DRY, IDLE, leaking(45)]);
    unit.hold(30, [SPRAYED, NOTHING, leaking(0)]);
    expect(unit.story('supply-loss')).toEqual(['opened emergency']);
  });
});

describe('leakage that a load is known to bring', () => {
  it('is no surge: a filter of the compressor leaks nine milliamps each time it runs', () => {
    const unit = known();
    for (let day = 0; day < 4; day += 1) {
      for (let run = 0; run < 24; run += 1) {
        unit.hold(40, [DRY, IDLE, leaking(0.5)]);
        unit.hold(20, [DRY, RUNNING, leaking(9)]);
      }
    }
    unit.hold(10, [DRY, IDLE, leaking(0.5)]);
    unit.hold(30, [DRY, NOTHING, leaking(0)]);
    expect(unit.story('supply-loss')).toEqual(['opened urgent']);
  });
});
