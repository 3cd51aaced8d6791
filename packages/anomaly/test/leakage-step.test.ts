import { describe, expect, it } from 'vitest';
import { live, livedUnit } from './lived-unit.ts';
import { HOUR_MS, type ObservedUnit, raised } from './observed-unit.ts';

const LEARNING_HOURS = 60;

/** Adds so many milliamperes to what leaks, whatever the load. */
function offset(unit: ObservedUnit, hours: number, milliamps: number): void {
  live(unit, hours, (channels) => ({ ...channels, leak: (channels.leak ?? 0) + milliamps / 1000 }));
}

/** Begins at rest: the steps of these tests come without a start. */
function learnedUnit(): ObservedUnit {
  return livedUnit(LEARNING_HOURS);
}

describe('leakage that comes at once and holds still', () => {
  it('is told after hours, once, on the line side, and of a cause that is not known', () => {
    const unit = learnedUnit();
    const stepMs = unit.atMs;
    offset(unit, 30, 5);
    expect(unit.story('leakage')).toEqual(['opened routine']);
    const finding = raised(unit.of('leakage')[0]);
    expect(finding.atMs - stepMs).toBeGreaterThanOrEqual(3 * HOUR_MS);
    expect(finding.atMs - stepMs).toBeLessThan(5 * HOUR_MS);
    expect(finding.causes[0]!.cause).toBe('unknown');
    expect(finding.evidence).toMatchObject({ side: 'line' });
    expect(finding.causes[0]!.because.join()).toContain('came');
  });

  it('is not told when it was switched off again within two hours', () => {
    const unit = learnedUnit();
    offset(unit, 2, 5);
    live(unit, 12);
    expect(unit.of('leakage')).toEqual([]);
  });

  it('is told of only where its resistive part came too, when the node sends that', () => {
    for (const [resistive, story] of [
      [0.0003, []],
      [0.0049, ['opened routine']],
    ] as const) {
      const unit = learnedUnit();
      live(unit, 24, (channels) => ({
        ...channels,
        leak: (channels.leak ?? 0) + 0.005,
        leakr: resistive,
      }));
      expect(unit.story('leakage')).toEqual(story);
    }
  });

  it('raises over the urgent limit, resistive or not', () => {
    const unit = learnedUnit();
    live(unit, 1, (channels) => ({ ...channels, leak: 0.016, leakr: 0.0002 }));
    expect(unit.story('leakage')).toEqual(['opened urgent']);
  });

  it('raises within five minutes over the urgent limit, its cause not known', () => {
    const unit = learnedUnit();
    const stepMs = unit.atMs;
    offset(unit, 12, 15);
    expect(unit.story('leakage')).toEqual(['opened urgent']);
    const finding = raised(unit.of('leakage')[0]);
    expect(finding.atMs - stepMs).toBeLessThanOrEqual(5 * 60_000);
    expect(finding.causes[0]!.cause).toBe('unknown');
  });

  it('is no answer of leakage to water, however wet the plate is', () => {
    const unit = learnedUnit();
    offset(unit, 1, 8);
    live(unit, 12, (channels) => ({
      ...channels,
      rh: 97,
      leak: (channels.leak ?? 0) + 0.008,
    }));
    expect(unit.of('moisture')).toEqual([]);
  });
});

describe('a track that wets each night', () => {
  it('is one finding over ten nights, until a night as humid passes without it', () => {
    const unit = learnedUnit();
    const night = (milliamps: number): void => {
      // It wets within an hour, as films do.
      for (let step = 1; step <= 6; step += 1) {
        live(unit, 1 / 6, (channels) => ({
          ...channels,
          rh: 94,
          leak: (channels.leak ?? 0) + (step * milliamps) / 6000,
        }));
      }
      live(unit, 8, (channels) => ({
        ...channels,
        rh: 94,
        leak: (channels.leak ?? 0) + milliamps / 1000,
      }));
      live(unit, 15);
    };
    for (let count = 0; count < 10; count += 1) night(6);
    expect(unit.story('leakage')).toEqual(['opened routine']);
    expect(raised(unit.of('leakage')[0]).causes[0]!.cause).toBe('line-side-track-to-ground');
    night(0);
    expect(unit.story('leakage')).toEqual(['opened routine', 'closed']);
  });
});

it('what comes back at once at rest, and goes by itself, is one alarm for all nights to come', () => {
  const unit = learnedUnit();
  for (let night = 0; night < 4; night += 1) {
    offset(unit, 0.2, 15);
    live(unit, 23.8);
  }
  const twice = ['opened urgent', 'closed', 'opened urgent'];
  expect(unit.story('leakage')).toEqual(twice);
  live(unit, 40);
  expect(unit.story('leakage')).toEqual([...twice, 'closed']);
});
