import { describe, expect, it } from 'vitest';
import {
  DAY_MS,
  IDLE,
  MINUTE_MS,
  ObservedUnit,
  RUNNING,
  raised,
  unitLike,
} from './observed-unit.ts';

const LOST_B = { ia: 29.8, ib: 0.1, ic: 30.1 };
const LIVE = { van: 346, vbn: 347, vcn: 345 };

describe('a phase lost while running', () => {
  it('is an emergency at the second reading, with an open fuse as the likely cause', () => {
    const unit = new ObservedUnit();
    unit.hold(30, [RUNNING]);
    const lostMs = unit.atMs;
    unit.hold(5, [LOST_B]);
    expect(unit.story('phase-loss')).toEqual(['opened emergency']);
    const finding = raised(unit.of('phase-loss')[0]);
    expect(finding.atMs - lostMs).toBe(MINUTE_MS);
    expect(finding.headline).toBe('Phase B lost while running, the other two carry 30 A');
    expect(finding.causes[0]!.cause).toBe('open-fuse');
    expect(finding.evidence).toMatchObject({ lostPhase: 'b', phaseBAmps: 0.1 });
  });

  it('is seen at a start when the unit ran on three phases within the week', () => {
    const unit = new ObservedUnit();
    unit.hold(30, [RUNNING]);
    unit.hold(60, [IDLE]);
    unit.hold(3, [LOST_B]);
    expect(unit.story('phase-loss')).toEqual(['opened emergency']);
  });

  it('is seen without history where every contactor is known to have three poles', () => {
    const known = new ObservedUnit();
    known.hold(3, [LOST_B]);
    expect(known.story('phase-loss')).toEqual(['opened emergency']);
    const bare = new ObservedUnit(unitLike({ contactors: [] }));
    bare.hold(30, [LOST_B]);
    expect(bare.story('phase-loss')).toEqual([]);
  });

  it('closes after five minutes on three phases, not because the unit stopped', () => {
    const unit = new ObservedUnit();
    unit.hold(30, [RUNNING]);
    unit.hold(5, [LOST_B]);
    unit.hold(120, [IDLE]);
    expect(unit.story('phase-loss')).toEqual(['opened emergency']);
    const backMs = unit.atMs;
    unit.hold(20, [RUNNING]);
    expect(unit.story('phase-loss')).toEqual(['opened emergency', 'closed']);
    expect(unit.of('phase-loss')[1]!.atMs - backMs).toBe(5 * MINUTE_MS);
  });

  it('is laid at the fuse or past it by the voltages after the fuses', () => {
    const fuse = new ObservedUnit();
    fuse.hold(30, [RUNNING, LIVE]);
    fuse.hold(3, [LOST_B, { ...LIVE, vbn: 12 }]);
    expect(raised(fuse.of('phase-loss')[0]).causes[0]!.cause).toBe('open-fuse');
    const pole = new ObservedUnit();
    pole.hold(30, [RUNNING, LIVE]);
    pole.hold(3, [LOST_B, LIVE]);
    expect(raised(pole.of('phase-loss')[0]).causes[0]!.cause).toBe('worn-pole-or-connection');
  });

  it('is seen at rest when its idle current goes with a surge of leakage', () => {
    const unit = new ObservedUnit();
    const resting = { ia: 0.19, ib: 0.26, ic: 0.18 };
    unit.hold(30, [resting, { leak: 0.0013 }]);
    unit.hold(30, [resting, { leak: 0.013, leakmax: 0.029 }]);
    unit.hold(1, [{ ...resting, ic: 0 }, { leak: 0.0013 }]);
    expect(unit.story('phase-loss')).toEqual([]);
    unit.hold(1, [{ ...resting, ic: 0.01 }, { leak: 0.0013 }]);
    expect(unit.story('phase-loss')).toEqual(['opened emergency']);
    const finding = raised(unit.of('phase-loss')[0]);
    expect(finding.headline).toContain('Phase C lost: its idle current went with the leakage');
    expect(finding.causes[0]!.cause).toBe('open-fuse');
  });

  it('is seen at rest when all loads trip with it and the leak of the rest before is gone', () => {
    const resting = { ia: 0.4, ib: 0.5, ic: 0.35 };
    const running = { ia: 5.2, ib: 5.3, ic: 5 };
    const unit = new ObservedUnit();
    unit.hold(60, [resting, { leak: 0.016 }]);
    unit.hold(60, [running, { leak: 0.0167 }]);
    unit.hold(2, [{ ia: 0, ib: 0.34, ic: 0.35 }, { leak: 0.0015 }]);
    expect(unit.story('phase-loss')).toEqual(['opened emergency']);
    expect(raised(unit.of('phase-loss')[0]).evidence).toMatchObject({ lostPhase: 'a' });
    const load = new ObservedUnit();
    load.hold(60, [{ ...resting, ib: 0.34 }, { leak: 0.0015 }]);
    load.hold(60, [running, { leak: 0.0167 }]);
    load.hold(60, [{ ia: 0, ib: 0.34, ic: 0.35 }, { leak: 0.0015 }]);
    expect(load.story('phase-loss')).toEqual([]);
  });

  it('is seen after a surge under load when another phase lost what came back by it', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [{ ia: 0.2, ib: 0.27, ic: 0.18 }, { leak: 0.0014 }]);
    unit.hold(180, [{ ia: 4.2, ib: 4.1, ic: 4 }, { leak: 0.002 }]);
    unit.hold(20, [{ ia: 4.2, ib: 4.1, ic: 4 }, { leak: 0.0144 }]);
    unit.hold(2, [{ ia: 0, ib: 0.17, ic: 0.18 }, { leak: 0.001 }]);
    expect(unit.story('phase-loss')).toEqual(['opened emergency']);
  });

  it.each([
    ['with less leakage than a surge', 0.001, 0.009, 0.0012],
    ['beside a filter that leaks on', 0.0125, 0.02, 0.0127],
  ])('is seen at rest %s', (_, dry, wet, after) => {
    const resting = { ia: 0.46, ib: 0.61, ic: 0.42 };
    const unit = new ObservedUnit(unitLike({ drive: true }));
    unit.hold(24 * 60, [{ rh: 45, t: 20 }, resting, { leak: dry }], 2 * MINUTE_MS);
    unit.hold(240, [{ rh: 97, t: 12 }, resting, { leak: wet }]);
    unit.hold(2, [{ rh: 97, t: 12 }, { ia: 0.46, ib: 0.46, ic: 0 }, { leak: after }]);
    expect(unit.story('phase-loss')).toEqual(['opened emergency']);
  });

  it('is seen after a short run that the leak of the rest before did not show in', () => {
    const resting = { ia: 0.2, ib: 0.27, ic: 0.18 };
    const unit = new ObservedUnit();
    unit.hold(60, [resting, { leak: 0.0086 }]);
    unit.hold(20, [{ ia: 25.1, ib: 24.9, ic: 24.5 }, { leak: 0.0032 }]);
    unit.hold(2, [{ ia: 0, ib: 0.18, ic: 0.18 }, { leak: 0.0004 }]);
    expect(unit.story('phase-loss')).toEqual(['opened emergency']);
  });

  it('is not read from a heater that goes off, with or without leakage', () => {
    const resting = { ia: 0.19, ib: 0.26, ic: 0.18 };
    const quiet = new ObservedUnit();
    quiet.hold(60, [resting, { leak: 0.0013 }]);
    quiet.hold(60, [{ ...resting, ic: 0 }, { leak: 0.0013 }]);
    expect(quiet.story('phase-loss')).toEqual([]);
    const leaking = new ObservedUnit();
    leaking.hold(60, [resting, { leak: 0.013 }]);
    leaking.hold(60, [{ ...resting, ic: 0 }, { leak: 0.012 }]);
    expect(leaking.story('phase-loss')).toEqual([]);
    const twoPhases = new ObservedUnit();
    twoPhases.hold(60, [resting, { leak: 0.013 }]);
    twoPhases.hold(60, [{ ...resting, ib: 0, ic: 0 }, { leak: 0.0013 }]);
    expect(twoPhases.story('phase-loss')).toEqual([]);
  });

  it('is seen by what runs on when a protector has tripped the larger load', () => {
    const unit = new ObservedUnit();
    unit.hold(30, [RUNNING]);
    unit.hold(1, [LOST_B]);
    unit.hold(1, [{ ia: 6.8, ib: 0, ic: 6.8 }]);
    expect(unit.story('phase-loss')).toEqual(['opened emergency']);
  });

  it('is put together from short runs of one reading each, where a protector trips', () => {
    const unit = new ObservedUnit();
    unit.hold(30, [RUNNING]);
    unit.hold(60, [IDLE]);
    unit.hold(2, [LOST_B], 2 * MINUTE_MS);
    unit.hold(30, [IDLE], 2 * MINUTE_MS);
    expect(unit.story('phase-loss')).toEqual([]);
    const againMs = unit.atMs;
    unit.hold(2, [LOST_B], 2 * MINUTE_MS);
    unit.hold(30, [IDLE], 2 * MINUTE_MS);
    expect(unit.story('phase-loss')).toEqual(['opened emergency']);
    expect(unit.of('phase-loss')[0]!.atMs).toBe(againMs);
  });
});

/** 230 % of 17 A in one phase, 115 % in the others. */
const HALF_SUPPLIED = { ia: 19.6, ib: 39.1, ic: 19.5 };
const FAN = { ia: 4, ib: 4.1, ic: 4 };

describe('a phase lost ahead of a delta-wye transformer', () => {
  it.each([1, 2])('is an emergency at the second reading, every %i min', (minutes) => {
    const unit = new ObservedUnit();
    unit.hold(120, [RUNNING], minutes * MINUTE_MS);
    const lostMs = unit.atMs;
    unit.hold(6, [HALF_SUPPLIED], minutes * MINUTE_MS);
    expect(unit.story('phase-loss')).toEqual(['opened emergency']);
    const finding = raised(unit.of('phase-loss')[0]);
    expect(finding.atMs - lostMs).toBe(minutes * MINUTE_MS);
    expect(finding.headline).toBe(
      'A supply phase lost upstream: phase B carries twice the other two',
    );
    expect(finding.causes[0]!.cause).toBe('utility-outage');
    unit.hold(60, [HALF_SUPPLIED]);
    expect(unit.of('unbalance')).toEqual([]);
  });

  it('is seen on a small fan, where an outlet would leave the other two as they were', () => {
    const lost = new ObservedUnit();
    lost.hold(120, [FAN]);
    lost.hold(4, [{ ia: 9.4, ib: 4.7, ic: 4.6 }]);
    expect(lost.story('phase-loss')).toEqual(['opened emergency']);
    const outlet = new ObservedUnit();
    outlet.hold(120, [FAN]);
    outlet.hold(120, [{ ia: 8.6, ib: 4.1, ic: 4 }]);
    expect(outlet.changes).toEqual([]);
  });

  it('is seen on the fan that runs on when a protector drops the compressor at once', () => {
    const lost = new ObservedUnit();
    lost.hold(60, [FAN]);
    lost.hold(60, [RUNNING]);
    lost.hold(2, [{ ia: 9, ib: 4.5, ic: 4.4 }]);
    expect(lost.story('phase-loss')).toEqual(['opened emergency']);
    const outlet = new ObservedUnit();
    outlet.hold(60, [FAN]);
    outlet.hold(60, [RUNNING]);
    outlet.hold(60, [{ ia: 8.4, ib: 4.1, ic: 4 }]);
    expect(outlet.of('phase-loss')).toEqual([]);
  });

  it('is not read from an outlet that the compressor hid, on a day that moves the fan', () => {
    const unit = new ObservedUnit();
    for (let cycle = 0; cycle < 4; cycle += 1) {
      unit.hold(30, [FAN]);
      unit.hold(30, [RUNNING]);
    }
    unit.hold(30, [{ ...RUNNING, ia: RUNNING.ia! + 4.5 }]);
    unit.hold(30, [{ ia: 9, ib: 4.5, ic: 4.4 }]);
    unit.hold(10, [{ ia: 4.5, ib: 4.5, ic: 4.4 }]);
    unit.hold(30, [{ ia: 9, ib: 4.5, ic: 4.4 }]);
    expect(unit.of('phase-loss')).toEqual([]);
  });

  it('is seen when a compressor comes on beside a fan too small to tell it from an outlet', () => {
    const unit = new ObservedUnit();
    for (let cycle = 0; cycle < 4; cycle += 1) {
      unit.hold(30, [{ ia: 2, ib: 2.25, ic: 2 }]);
      unit.hold(30, [{ ia: 8.5, ib: 8.75, ic: 8.4 }]);
    }
    unit.hold(30, [{ ia: 2, ib: 2.25, ic: 2 }]);
    unit.hold(15, [{ ia: 4.1, ib: 2.3, ic: 1.8 }]);
    unit.hold(2, [{ ia: 19.6, ib: 10.05, ic: 9.6 }]);
    expect(unit.story('phase-loss')).toEqual(['opened emergency']);
  });

  it('is seen by what runs on when a protector has tripped one load', () => {
    const unit = new ObservedUnit();
    unit.hold(120, [{ ia: 12.7, ib: 12.5, ic: 12.3 }]);
    unit.hold(1, [{ ia: 29, ib: 14.2, ic: 14.1 }]);
    unit.hold(1, [{ ia: 22.1, ib: 10.9, ic: 10.8 }]);
    expect(unit.story('phase-loss')).toEqual(['opened emergency']);
  });

  it('is seen by the voltages at rest', () => {
    const ground = new ObservedUnit();
    ground.hold(4, [IDLE, { van: 346, vbn: 172, vcn: 174 }]);
    expect(ground.story('phase-loss')).toEqual(['opened emergency']);
    const line = new ObservedUnit();
    line.hold(4, [IDLE, { vab: 519, vbc: 4, vca: 521 }]);
    expect(raised(line.of('phase-loss')[0]).headline).toBe(
      'A supply phase lost upstream: only phase A has its whole voltage',
    );
  });
});

describe('what is not a lost phase', () => {
  it.each([1, 2])('is a sensor that died: the other two carry on, every %i min', (minutes) => {
    const unit = new ObservedUnit();
    const dead = { ...RUNNING, ib: 0 };
    for (let cycle = 0; cycle < 8; cycle += 1) {
      unit.hold(20, [RUNNING], minutes * MINUTE_MS);
      unit.hold(20, [FAN], minutes * MINUTE_MS);
    }
    for (let cycle = 0; cycle < 8; cycle += 1) {
      unit.hold(20, [dead], minutes * MINUTE_MS);
      unit.hold(20, [{ ...FAN, ib: 0 }], minutes * MINUTE_MS);
      unit.hold(20, [{ ...IDLE, ib: 0 }], minutes * MINUTE_MS);
    }
    expect(unit.of('phase-loss')).toEqual([]);
    expect(unit.of('unbalance')).toEqual([]);
    expect(unit.story('sensor')).toEqual(['opened routine']);
  });

  it('is a sensor that died at rest, when the next start draws what its stage draws', () => {
    const unit = new ObservedUnit();
    unit.hold(120, [RUNNING]);
    unit.hold(30, [IDLE]);
    unit.hold(30, [{ ...IDLE, ic: 0 }]);
    unit.hold(120, [{ ...RUNNING, ic: 0 }]);
    expect(unit.of('phase-loss')).toEqual([]);
  });

  it('is two inrushes of a small fan whose running is taken for rest', () => {
    const unit = new ObservedUnit();
    const rest = { ia: 0, ib: 0.6, ic: 0.6 };
    const fan = { ia: 1.7, ib: 2.2, ic: 0.6 };
    unit.hold(60, [{ ia: 11, ib: 11.2, ic: 11.1 }]);
    for (let cycle = 0; cycle < 20; cycle += 1) {
      unit.hold(10, [rest]);
      unit.hold(1, [cycle % 3 === 2 ? { ia: 8.1, ib: 8.7, ic: 0.6 } : fan]);
      unit.hold(10, [fan]);
    }
    expect(unit.of('phase-loss')).toEqual([]);
  });

  it('is one wild reading', () => {
    const unit = new ObservedUnit();
    for (let hour = 0; hour < 6; hour += 1) {
      unit.hold(59, [RUNNING]);
      unit.hold(1, [LOST_B]);
    }
    unit.hold(10, [RUNNING]);
    expect(unit.changes).toEqual([]);
  });

  it('is a crankcase heater and a control transformer on two phases, thermostat cycling', () => {
    const unit = new ObservedUnit();
    for (let cycle = 0; cycle < 48; cycle += 1) {
      unit.hold(15, [{ ia: 0.98, ib: 0.97, ic: 0.02 }]);
      unit.hold(15, [RUNNING]);
    }
    expect(unit.changes).toEqual([]);
  });

  it('is a single-phase fan stage of a unit that also runs on three phases', () => {
    const unit = new ObservedUnit(
      unitLike({ contactors: [{ name: 'C1', load: 'compressor', poles: 3, flaAmps: 18 }] }),
    );
    for (let cycle = 0; cycle < 24; cycle += 1) {
      unit.hold(20, [{ ia: 6.1, ib: 6, ic: 0.02 }]);
      unit.hold(20, [{ ia: 23.2, ib: 23, ic: 17.3 }]);
      unit.hold(20, [IDLE]);
    }
    expect(unit.story('phase-loss')).toEqual([]);
  });

  it('is a two-pole load on a unit that was last seen on three phases long ago', () => {
    const unit = new ObservedUnit(
      unitLike({ contactors: [{ name: 'C1', load: null, poles: 2, flaAmps: 18 }] }),
    );
    unit.hold(30, [RUNNING]);
    unit.atMs += 8 * DAY_MS;
    unit.hold(60, [{ ia: 18, ib: 18, ic: 0 }]);
    expect(unit.changes).toEqual([]);
  });
});
