import type { RaisedFinding } from '@lineside/anomaly';
import { describe, expect, it } from 'vitest';
import { DAY_MS, DRY, IDLE, MINUTE_MS, ObservedUnit, raised } from './observed-unit.ts';

function days(unit: ObservedUnit, count: number): void {
  for (let day = 0; day < count; day += 1) {
    unit.atMs += DAY_MS;
    unit.read(DRY, IDLE);
  }
}

describe('fuses replaced without a root cause', () => {
  it('are routine the second time within 90 days and urgent the third', () => {
    const unit = new ObservedUnit();
    unit.service('fuses-replaced', ['a']);
    days(unit, 20);
    expect(unit.changes).toEqual([]);
    unit.service('fuses-replaced', ['a', 'c']);
    days(unit, 20);
    unit.service('fuses-replaced', ['a']);
    expect(unit.story('repeat-fuse')).toEqual(['opened routine', 'escalated urgent']);
    const finding = raised(unit.of('repeat-fuse')[1]);
    expect(finding.headline).toBe('Fuses replaced 3 times in 90 days, root cause still open');
    expect(finding.evidence).toMatchObject({ newestReplacedPhases: 'A' });
  });

  it('end with a root cause, and count from there', () => {
    const unit = new ObservedUnit();
    unit.service('fuses-replaced');
    days(unit, 5);
    unit.service('fuses-replaced');
    days(unit, 5);
    unit.service('root-cause');
    expect(unit.story('repeat-fuse')).toEqual(['opened routine', 'closed']);
    days(unit, 5);
    unit.service('fuses-replaced');
    expect(unit.story('repeat-fuse')).toEqual(['opened routine', 'closed']);
  });

  it('are nothing when a root cause lies between them', () => {
    const unit = new ObservedUnit();
    unit.service('fuses-replaced');
    days(unit, 5);
    unit.service('root-cause');
    days(unit, 5);
    unit.service('fuses-replaced');
    expect(unit.changes).toEqual([]);
  });

  it('end when the first of two has grown older than 90 days', () => {
    const unit = new ObservedUnit();
    unit.service('fuses-replaced');
    days(unit, 80);
    unit.service('fuses-replaced');
    expect(unit.story('repeat-fuse')).toEqual(['opened routine']);
    days(unit, 15);
    expect(unit.story('repeat-fuse')).toEqual(['opened routine', 'closed']);
  });

  it('are not counted twice when the record is sent twice', () => {
    const unit = new ObservedUnit();
    unit.service('fuses-replaced');
    unit.service('fuses-replaced');
    unit.service('inspection');
    expect(unit.changes).toEqual([]);
  });
});

describe('what stands behind fuses that open again', () => {
  /** Twenty dry hours and four humid ones at rest, which leak so much. */
  function night(unit: ObservedUnit, dryMilliamps: number, wetMilliamps: number): void {
    unit.hold(20 * 60, [DRY, IDLE, { leak: dryMilliamps / 1000 }]);
    unit.hold(4 * 60, [{ rh: 90, t: 10 }, IDLE, { leak: wetMilliamps / 1000 }]);
  }
  function replacedTwice(unit: ObservedUnit): RaisedFinding {
    unit.service('fuses-replaced', ['a']);
    night(unit, 1, 1.2);
    unit.service('fuses-replaced', ['a']);
    return raised(unit.of('repeat-fuse')[0]);
  }

  it('is the line side where leakage with contactors open was found', () => {
    const unit = new ObservedUnit();
    for (let day = 0; day < 10; day += 1) night(unit, 1, 1.2);
    night(unit, 1, 9);
    night(unit, 1, 12);
    const finding = replacedTwice(unit);
    expect(finding.evidence).toMatchObject({ marks: 'one-fuse-opened line-leakage-stands' });
    expect(finding.causes[0]).toMatchObject({ cause: 'line-side-track-to-ground' });
    expect(finding.causes[0]!.probability).toBeGreaterThan(0.8);
  });

  it('is a load rather, where nothing leaked for two weeks with humid nights', () => {
    const unit = new ObservedUnit();
    for (let day = 0; day < 15; day += 1) night(unit, 1, 1.2);
    const finding = replacedTwice(unit);
    expect(finding.evidence).toMatchObject({ marks: 'one-fuse-opened nothing-leaks' });
    expect(finding.causes[0]).toMatchObject({ cause: 'load-insulation' });
    expect(finding.causes[0]!.because).toContain('one fuse opened: phase to ground');
  });

  it('is open where the sensor of leakage has failed since', () => {
    const unit = new ObservedUnit();
    for (let day = 0; day < 15; day += 1) night(unit, 1, 1.2);
    days(unit, 5);
    unit.service('fuses-replaced', ['a']);
    days(unit, 1);
    unit.service('fuses-replaced', ['a']);
    const finding = raised(unit.of('repeat-fuse')[0]);
    expect(finding.evidence).toMatchObject({ marks: 'one-fuse-opened' });
  });

  it('is open while nobody has watched for that long, or nights were dry', () => {
    const short = new ObservedUnit();
    for (let day = 0; day < 5; day += 1) night(short, 1, 1.2);
    const dry = new ObservedUnit();
    dry.hold(20 * 24 * 60, [DRY, IDLE, { leak: 0.001 }], 10 * MINUTE_MS);
    dry.service('fuses-replaced', ['a']);
    days(dry, 1);
    dry.service('fuses-replaced', ['a']);
    const marks = { marks: 'one-fuse-opened' };
    expect(replacedTwice(short).evidence).toMatchObject(marks);
    expect(raised(dry.of('repeat-fuse')[0]).evidence).toMatchObject(marks);
  });
});
