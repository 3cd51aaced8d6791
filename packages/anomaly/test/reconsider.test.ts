import { describe, expect, it } from 'vitest';
import {
  DAY_MS,
  DRY,
  HOUR_MS,
  IDLE,
  leaking,
  MINUTE_MS,
  NOTHING,
  ObservedUnit,
  raised,
} from './observed-unit.ts';

const WET = { rh: 97, t: 4 };

describe('a standing finding', () => {
  it('is told anew when fuses are replaced while the unit is dead, once', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [DRY, IDLE, leaking(1)]);
    unit.hold(30, [DRY, NOTHING, leaking(0)]);
    expect(raised(unit.of('supply-loss')[0]).causes[0]?.cause).toBe(
      'disconnect-open-or-fuses-open',
    );
    unit.service('fuses-replaced', ['a', 'c']);
    unit.hold(120, [DRY, NOTHING, leaking(0)]);
    const [anew, ...more] = unit.reconsidered('supply-loss');
    expect(more).toEqual([]);
    expect(anew?.causes[0]?.cause).toBe('open-fuse');
    expect(anew?.causes[0]?.because).toContain('somebody replaced fuses while it was dead');
  });

  it('keeps its causes while nothing new is seen', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [WET, IDLE, leaking(1)]);
    unit.hold(600, [WET, IDLE, leaking(14)]);
    expect(unit.story('leakage')).toEqual(['opened urgent']);
    expect(unit.reconsidered('leakage')).toEqual([]);
  });

  it('is told anew when it is seen at rest after it was seen under load, an hour on at least', () => {
    const unit = new ObservedUnit();
    const running = { ia: 17.2, ib: 17.4, ic: 17.1 };
    unit.hold(60, [DRY, IDLE, leaking(1)]);
    unit.hold(30, [DRY, running, leaking(1.2)]);
    unit.hold(20, [DRY, running, leaking(14)]);
    const first = raised(unit.of('leakage')[0]);
    expect(first.causes[0]?.cause).not.toBe('line-side-track-to-ground');
    unit.hold(90, [DRY, IDLE, leaking(14)]);
    const [anew] = unit.reconsidered('leakage');
    expect(anew?.causes[0]?.cause).toBe('line-side-track-to-ground');
    expect(anew?.evidence).toMatchObject({ side: 'line' });
    expect((anew?.atMs ?? 0) - first.atMs).toBeGreaterThanOrEqual(HOUR_MS);
    expect(unit.story('leakage')).toEqual(['opened urgent']);
  });

  it('is told at most once an hour', () => {
    const unit = new ObservedUnit();
    unit.service('fuses-replaced', ['a']);
    unit.atMs += DAY_MS;
    unit.service('fuses-replaced', ['a']);
    for (const phases of [['a', 'b'], ['a'], ['a', 'b']] as const) {
      unit.atMs += 20 * MINUTE_MS;
      unit.service('fuses-replaced', phases);
    }
    const told = [...unit.of('repeat-fuse'), ...unit.reconsidered('repeat-fuse')];
    const times = told.filter(({ change }) => change === 'reconsidered').map(({ atMs }) => atMs);
    for (const [index, atMs] of times.slice(1).entries()) {
      expect(atMs - (times[index] ?? 0)).toBeGreaterThanOrEqual(HOUR_MS);
    }
    expect(times.length).toBeLessThanOrEqual(1);
  });
});
