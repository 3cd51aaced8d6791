import { describe, expect, it } from 'vitest';
import { DAY_MS, DRY, IDLE, ObservedUnit, raised } from './observed-unit.ts';

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
