import { conditionOf } from '@lineside/anomaly';
import { describe, expect, it } from 'vitest';
import { IDLE, MINUTE_MS, ObservedUnit, RUNNING, raised, unitLike } from './observed-unit.ts';

// 18.9/17/17.1: mean 17.67, largest deviation 1.23, 7 %. 21/17/16: mean 18, 16.7 %.
const SEVEN_PERCENT = { ia: 18.9, ib: 17, ic: 17.1 };
const SEVENTEEN_PERCENT = { ia: 21, ib: 17, ic: 16 };
const EVEN_VOLTS = { vab: 600, vbc: 601, vca: 599 };
/** Mean 600, largest deviation given in per cent. */
function unevenVolts(percent: number) {
  return { vab: 600 - 6 * percent, vbc: 600 + 3 * percent, vca: 600 + 3 * percent };
}

describe('current unbalance while running', () => {
  it('is routine above 5 % for 30 minutes', () => {
    const unit = new ObservedUnit();
    const sinceMs = unit.atMs;
    unit.hold(60, [SEVEN_PERCENT]);
    expect(unit.story('unbalance')).toEqual(['opened routine']);
    expect(unit.of('unbalance')[0]!.atMs - sinceMs).toBe(30 * MINUTE_MS);
  });

  it('is urgent above 10 % for 15 minutes, and says which phase is lowest', () => {
    const unit = new ObservedUnit();
    const sinceMs = unit.atMs;
    unit.hold(60, [SEVENTEEN_PERCENT]);
    expect(unit.story('unbalance')).toEqual(['opened urgent']);
    const finding = raised(unit.of('unbalance')[0]);
    expect(finding.atMs - sinceMs).toBe(15 * MINUTE_MS);
    expect(finding.headline).toBe('Current unbalance 17 % while running, phase C lowest');
    expect(finding.evidence).toMatchObject({ normalForThisStageLearned: false });
  });

  it('escalates from routine to urgent when it grows', () => {
    const unit = new ObservedUnit();
    unit.hold(40, [SEVEN_PERCENT]);
    unit.hold(40, [SEVENTEEN_PERCENT]);
    expect(unit.story('unbalance')).toEqual(['opened routine', 'escalated urgent']);
  });

  it('adds up running time over the cycles of a thermostat', () => {
    const unit = new ObservedUnit();
    for (let cycle = 0; cycle < 6; cycle += 1) {
      unit.hold(10, [SEVENTEEN_PERCENT]);
      unit.hold(10, [IDLE]);
    }
    expect(unit.story('unbalance')).toEqual(['opened urgent']);
  });

  it('does not count the pauses between short cycles as running', () => {
    const unit = new ObservedUnit();
    for (let cycle = 0; cycle < 5; cycle += 1) {
      unit.hold(3, [SEVENTEEN_PERCENT]);
      unit.hold(12, [IDLE]);
    }
    expect(unit.story('unbalance')).toEqual([]);
  });

  it('closes after 30 minutes of even running', () => {
    const unit = new ObservedUnit();
    unit.hold(600, [SEVENTEEN_PERCENT]);
    const evenMs = unit.atMs;
    unit.hold(60, [RUNNING]);
    expect(unit.story('unbalance')).toEqual(['opened urgent', 'closed']);
    expect(unit.of('unbalance')[1]!.atMs - evenMs).toBe(30 * MINUTE_MS);
  });

  it('does not end because another, even stage runs alone for a while', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [SEVENTEEN_PERCENT]);
    unit.hold(300, [{ ia: 5, ib: 5.1, ic: 5 }]);
    expect(unit.story('unbalance')).toEqual(['opened urgent']);
  });

  it('allows for the two-pole loads of the nameplate', () => {
    const contactors = [
      { name: 'C1', load: 'compressor 1', poles: 3, flaAmps: 15 },
      { name: 'C2', load: 'condenser fan', poles: 2, flaAmps: 2.6 },
    ];
    const unit = new ObservedUnit(unitLike({ contactors }));
    unit.hold(300, [{ ia: 13, ib: 15.2, ic: 15.4 }]);
    expect(unit.changes).toEqual([]);
    unit.hold(60, [{ ia: 9, ib: 17.2, ic: 17.4 }]);
    expect(unit.story('unbalance')).toEqual(['opened urgent']);
  });

  it('allows a drive, whose rectifier draws unevenly in health, twice the limits', () => {
    const unit = new ObservedUnit(unitLike({ drive: true }));
    unit.hold(60, [SEVEN_PERCENT]);
    expect(unit.changes).toEqual([]);
    unit.hold(60, [SEVENTEEN_PERCENT]);
    expect(unit.story('unbalance')).toEqual(['opened routine']);
  });

  it('is laid at the supply when the voltage explains it, else at a pole or connection', () => {
    const supply = new ObservedUnit();
    supply.hold(40, [SEVEN_PERCENT, unevenVolts(1.2)]);
    expect(raised(supply.of('unbalance')[0]).causes[0]!.cause).toBe('supply-voltage');
    const pole = new ObservedUnit();
    pole.hold(40, [SEVEN_PERCENT, EVEN_VOLTS]);
    expect(raised(pole.of('unbalance')[0]).causes[0]!.cause).toBe('worn-pole-or-connection');
  });
});

describe('voltage unbalance', () => {
  it.each([
    [2.5, 'routine', 30],
    [3.5, 'urgent', 30],
    [5.5, 'emergency', 5],
  ])('of %d %% is %s after %d minutes, also at rest', (percent, priority, minutes) => {
    const unit = new ObservedUnit();
    const sinceMs = unit.atMs;
    unit.hold(60, [IDLE, unevenVolts(percent)]);
    expect(unit.story('unbalance')[0]).toBe(`opened ${priority}`);
    expect(unit.of('unbalance')[0]!.atMs - sinceMs).toBe(minutes * MINUTE_MS);
    expect(raised(unit.of('unbalance')[0]).causes[0]!.cause).toBe('supply-voltage');
  });

  it('closes after half an hour below four fifths of the limit', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [IDLE, unevenVolts(2.5)]);
    unit.hold(60, [IDLE, unevenVolts(1.8)]);
    expect(unit.story('unbalance')).toEqual(['opened routine']);
    unit.hold(60, [IDLE, unevenVolts(0.5)]);
    expect(unit.story('unbalance')).toEqual(['opened routine', 'closed']);
  });

  it('of a lost phase is phase loss, not unbalance', () => {
    const unit = new ObservedUnit();
    unit.hold(30, [IDLE, EVEN_VOLTS]);
    const lostMs = unit.atMs;
    unit.hold(60, [IDLE, { vab: 601, vbc: 290, vca: 311 }]);
    expect(unit.story('unbalance')).toEqual([]);
    expect(unit.story('phase-loss')).toEqual(['opened emergency']);
    const finding = raised(unit.of('phase-loss')[0]);
    expect(finding.atMs - lostMs).toBe(MINUTE_MS);
    expect(finding.evidence).toMatchObject({ lostPhase: 'c' });
    unit.hold(10, [IDLE, EVEN_VOLTS]);
    expect(unit.story('phase-loss')).toEqual(['opened emergency', 'closed']);
  });

  it('of a dead feed is not unbalance', () => {
    const unit = new ObservedUnit();
    unit.hold(120, [{ vab: 3, vbc: 1, vca: 0.5 }]);
    expect(unit.story('unbalance')).toEqual([]);
  });
});

describe('what is not unbalance', () => {
  it('is idle current on two phases', () => {
    const unit = new ObservedUnit();
    unit.hold(24 * 60, [{ ia: 0.98, ib: 0.6, ic: 0.02 }]);
    expect(unit.changes).toEqual([]);
  });

  it('is a wild value now and then', () => {
    const unit = new ObservedUnit();
    for (let each = 0; each < 40; each += 1) {
      unit.hold(9, [RUNNING]);
      unit.hold(1, [{ ...RUNNING, ia: 30 }]);
    }
    expect(unit.changes).toEqual([]);
  });
});

it('the condition shows unbalance while running only', () => {
  const unit = new ObservedUnit();
  unit.hold(5, [SEVEN_PERCENT, unevenVolts(1.5)]);
  expect(conditionOf(unit.state, unit.unit)).toMatchObject({
    currentUnbalancePercent: 6.98,
    voltageUnbalancePercent: 1.5,
  });
  unit.hold(5, [IDLE]);
  expect(conditionOf(unit.state, unit.unit)).toMatchObject({ currentUnbalancePercent: null });
});
