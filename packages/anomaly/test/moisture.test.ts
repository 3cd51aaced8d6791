import type { ChannelValues } from '@lineside/readings';
import { describe, expect, it } from 'vitest';
import {
  DAY_MS,
  DRY,
  HOUR_MS,
  IDLE,
  leaking,
  MINUTE_MS,
  ObservedUnit,
  outdoors,
  RUNNING,
  raised,
  START_MS,
} from './observed-unit.ts';

/** Five-minute outdoor reports: rain between two times, the given air else. */
function rainBetween(fromMs: number, toMs: number, air: ChannelValues = { rh: 70, t: 12 }) {
  return (atMs: number) => {
    const reportMs = Math.floor((atMs - 10 * MINUTE_MS) / (5 * MINUTE_MS)) * 5 * MINUTE_MS;
    const raining = reportMs >= fromMs && reportMs < toMs;
    return outdoors(reportMs, { ...air, rain: raining ? 0.3 : 0 });
  };
}

const INSIDE_LIKE_OUTSIDE = { rh: 68, t: 12.5 };
/** 12.5 C and 90 %: some 320 Pa above 12 C and 70 %. */
const INSIDE_FAR_WETTER = { rh: 90, t: 12.5 };
/** As far as that, where a sensor sticks after dew. */
const INSIDE_SATURATED = { rh: 99.5, t: 12.5 };

describe('water that got in', () => {
  it('is routine after two hours of excess vapour pressure following rain', () => {
    const unit = new ObservedUnit();
    unit.weatherAt = rainBetween(START_MS + 6 * HOUR_MS, START_MS + 8 * HOUR_MS);
    unit.hold(8 * 60, [INSIDE_LIKE_OUTSIDE]);
    const wetMs = unit.atMs;
    unit.hold(6 * 60, [INSIDE_FAR_WETTER]);
    expect(unit.story('moisture')).toEqual(['opened routine']);
    const finding = raised(unit.of('moisture')[0]);
    expect(finding.atMs - wetMs).toBe(2 * HOUR_MS);
    expect(finding.causes[0]!.cause).toBe('water-ingress');
    expect(unit.episodes.at(-1)).toMatchObject({ source: 'water-ingress' });
  });

  it('is not said of air that reads saturated for hours: a sensor sticks there after dew', () => {
    const unit = new ObservedUnit();
    unit.weatherAt = rainBetween(START_MS + 6 * HOUR_MS, START_MS + 8 * HOUR_MS);
    unit.hold(8 * 60, [INSIDE_LIKE_OUTSIDE]);
    unit.hold(9 * 60, [INSIDE_SATURATED]);
    unit.hold(12 * 60, [INSIDE_LIKE_OUTSIDE]);
    expect(unit.changes).toEqual([]);
  });

  it('is said of air that stays saturated for longer than a sensor sticks', () => {
    const unit = new ObservedUnit();
    unit.weatherAt = rainBetween(START_MS + 6 * HOUR_MS, START_MS + 8 * HOUR_MS);
    unit.hold(8 * 60, [INSIDE_LIKE_OUTSIDE]);
    unit.hold(14 * 60, [INSIDE_SATURATED]);
    expect(unit.story('moisture')).toEqual(['opened routine']);
  });

  it('is one finding over the rains of two weeks, and over two weeks after the last', () => {
    const unit = new ObservedUnit();
    const first = rainBetween(START_MS + 6 * HOUR_MS, START_MS + 8 * HOUR_MS);
    const second = rainBetween(START_MS + 126 * HOUR_MS, START_MS + 128 * HOUR_MS);
    unit.weatherAt = (atMs) => (atMs < START_MS + 5 * DAY_MS ? first : second)(atMs);
    for (let rain = 0; rain < 2; rain += 1) {
      unit.hold(8 * 60, [INSIDE_LIKE_OUTSIDE], 5 * MINUTE_MS);
      unit.hold(6 * 60, [INSIDE_FAR_WETTER], 5 * MINUTE_MS);
      unit.hold(5 * 24 * 60 - 14 * 60, [INSIDE_LIKE_OUTSIDE], 5 * MINUTE_MS);
    }
    expect(unit.story('moisture')).toEqual(['opened routine']);
    unit.hold(11 * 24 * 60, [INSIDE_LIKE_OUTSIDE], 5 * MINUTE_MS);
    expect(unit.story('moisture')).toEqual(['opened routine', 'closed']);
  });

  it('is over two hours after the compartment has dried, once it was repaired', () => {
    const unit = new ObservedUnit();
    unit.weatherAt = rainBetween(START_MS + 6 * HOUR_MS, START_MS + 8 * HOUR_MS);
    unit.hold(8 * 60, [INSIDE_LIKE_OUTSIDE]);
    unit.hold(6 * 60, [INSIDE_FAR_WETTER]);
    unit.service('sealed');
    const dryMs = unit.atMs;
    unit.hold(6 * 60, [INSIDE_LIKE_OUTSIDE]);
    expect(unit.story('moisture')).toEqual(['opened routine', 'closed']);
    expect(unit.of('moisture')[1]!.atMs - dryMs).toBeGreaterThanOrEqual(2 * HOUR_MS);
    expect(unit.of('moisture')[1]!.atMs - dryMs).toBeLessThanOrEqual(3.1 * HOUR_MS);
  });

  it('shows when snow melts, not while it lies frozen', () => {
    const unit = new ObservedUnit();
    unit.weatherAt = (atMs) => {
      const reportMs = Math.floor((atMs - 10 * MINUTE_MS) / (30 * MINUTE_MS)) * 30 * MINUTE_MS;
      const hour = (reportMs - START_MS) / HOUR_MS;
      const frozen = hour < 48;
      const snow = hour >= 6 && hour < 18 ? 1 : 0;
      return outdoors(reportMs, { rh: 75, t: frozen ? -6 : 4, rain: 0, snow });
    };
    unit.hold(48 * 60, [{ rh: 76, t: -5.8 }], 5 * MINUTE_MS);
    expect(unit.changes).toEqual([]);
    expect(unit.episodes).toEqual([]);
    unit.hold(8 * 60, [{ rh: 90, t: 5 }], 5 * MINUTE_MS);
    expect(unit.story('moisture')).toEqual(['opened routine']);
    expect(unit.episodes.at(-1)).toMatchObject({ source: 'water-ingress' });
  });
});

describe('a wet plate with leakage responding', () => {
  const DRY_DAY: readonly ChannelValues[] = [{ rh: 55, t: 10, tp: 10 }, IDLE, leaking(0.8)];

  it('is urgent within minutes', () => {
    const unit = new ObservedUnit();
    unit.hold(12 * 60, DRY_DAY);
    unit.hold(30, [{ rh: 97, t: 8, tp: 7.6 }, IDLE, leaking(0.9)]);
    expect(unit.changes).toEqual([]);
    const respondMs = unit.atMs;
    unit.hold(30, [{ rh: 98, t: 8, tp: 7.6 }, IDLE, leaking(4.2)]);
    expect(unit.story('moisture')).toEqual(['opened urgent']);
    const finding = raised(unit.of('moisture')[0]);
    expect(finding.atMs - respondMs).toBeLessThanOrEqual(5 * MINUTE_MS);
    expect(finding.headline).toBe('Wet inside and leakage answers: 4.2 mA, 0.8 mA when dry');
    expect(finding.evidence).toMatchObject({ leakageMilliamps: 4.2, outdoorReference: false });
  });

  it('lifts a routine finding, and stands until the rain of two weeks has not come back', () => {
    const unit = new ObservedUnit();
    unit.weatherAt = rainBetween(START_MS + 6 * HOUR_MS, START_MS + 8 * HOUR_MS);
    unit.hold(8 * 60, [INSIDE_LIKE_OUTSIDE, IDLE, leaking(0.8)]);
    unit.hold(4 * 60, [INSIDE_FAR_WETTER, IDLE, leaking(0.9)]);
    unit.hold(30, [INSIDE_SATURATED, IDLE, leaking(6)]);
    unit.hold(13 * 24 * 60, [INSIDE_LIKE_OUTSIDE, IDLE, leaking(0.8)], 5 * MINUTE_MS);
    expect(unit.story('moisture')).toEqual(['opened routine', 'escalated urgent']);
    unit.hold(2 * 24 * 60, [INSIDE_LIKE_OUTSIDE, IDLE, leaking(0.8)], 5 * MINUTE_MS);
    expect(unit.story('moisture')).toEqual(['opened routine', 'escalated urgent', 'closed']);
  });

  it('is not claimed from the load error of the sensor when a unit starts on a foggy night', () => {
    const unit = new ObservedUnit();
    for (let cycle = 0; cycle < 12; cycle += 1) {
      unit.hold(20, [DRY, IDLE, leaking(0.5)]);
      unit.hold(20, [DRY, RUNNING, leaking(3.6)]);
    }
    for (let cycle = 0; cycle < 12; cycle += 1) {
      unit.hold(20, [{ rh: 98, t: 8 }, IDLE, leaking(0.6)]);
      unit.hold(20, [{ rh: 98, t: 8 }, RUNNING, leaking(3.8)]);
    }
    expect(unit.changes).toEqual([]);
    expect(unit.episodes.length).toBeGreaterThan(0);
  });
});

describe('what raises no moisture alarm', () => {
  it('is a heater element that lay damp, energised on a wet night: at once, then less and less', () => {
    const unit = new ObservedUnit();
    unit.hold(48 * 60, [{ rh: 70, t: 15 }, IDLE, leaking(0.8)], 2 * MINUTE_MS);
    unit.hold(12 * 60, [{ rh: 99, t: 12 }, IDLE, leaking(0.9)], 2 * MINUTE_MS);
    // Sixteen milliamps that halve every twenty minutes; common practice, no source.
    for (let minutes = 0; minutes < 120; minutes += 1) {
      unit.hold(1, [{ rh: 99, t: 12 }, IDLE, leaking(0.9 + 15 * 0.5 ** (minutes / 20))]);
    }
    unit.hold(4 * 60, [{ rh: 96, t: 12 }, IDLE, leaking(0.9)], 2 * MINUTE_MS);
    expect(unit.of('moisture')).toEqual([]);
  });

  it('is humidity alone, for days', () => {
    const unit = new ObservedUnit();
    unit.hold(3 * 24 * 60, [{ rh: 99, t: 15 }, IDLE, leaking(0.8)], 5 * MINUTE_MS);
    expect(unit.changes).toEqual([]);
    expect(unit.episodes.length).toBeGreaterThan(0);
  });

  it('is rain while the compartment only follows the air outside', () => {
    const unit = new ObservedUnit();
    unit.weatherAt = rainBetween(START_MS, START_MS + DAY_MS, { rh: 97, t: 11 });
    unit.hold(24 * 60, [{ rh: 96, t: 11.3 }]);
    expect(unit.changes).toEqual([]);
  });

  it('is the lag of the compartment while the air outside dries behind a front', () => {
    const unit = new ObservedUnit();
    const frontMs = START_MS + 6 * HOUR_MS;
    unit.weatherAt = (atMs) => {
      const reportMs = Math.floor((atMs - 10 * MINUTE_MS) / (5 * MINUTE_MS)) * 5 * MINUTE_MS;
      const after = reportMs >= frontMs;
      return outdoors(reportMs, { rh: after ? 55 : 97, t: 12, rain: after ? 0 : 0.2 });
    };
    unit.hold(6 * 60, [{ rh: 96, t: 12.2 }]);
    // The compartment's air follows with a time constant of an hour and a half.
    for (let minute = 0; minute < 12 * 60; minute += 1) {
      unit.hold(1, [{ rh: 55 + 41 * Math.exp(-minute / 90), t: 12.2 }]);
    }
    expect(unit.story('moisture')).toEqual([]);
  });

  it('is a warm front that hourly reports show late', () => {
    const unit = new ObservedUnit();
    const celsiusAt = (atMs: number) => 2 + (2.5 * (atMs - START_MS)) / HOUR_MS;
    unit.weatherAt = (atMs) => {
      const reportMs = Math.floor((atMs - 10 * MINUTE_MS) / HOUR_MS) * HOUR_MS;
      return outdoors(reportMs, { rh: 96, t: celsiusAt(reportMs), rain: 0.5 });
    };
    for (let minute = 0; minute < 9 * 60; minute += 1) {
      unit.hold(1, [{ rh: 96, t: celsiusAt(unit.atMs) }]);
    }
    expect(unit.story('moisture')).toEqual([]);
  });

  it('is a heavy dew that dries off in the sun after rain', () => {
    const unit = new ObservedUnit();
    const sunriseMs = START_MS + 12 * HOUR_MS;
    unit.weatherAt = rainBetween(START_MS, START_MS + 2 * HOUR_MS, { rh: 99, t: 9 });
    // Twelve hours some 150 Pa below the air outside: vapour stays on the cold plate as dew.
    unit.hold(12 * 60, [{ rh: 94, t: 7.5, tp: 6 }]);
    expect(unit.atMs).toBe(sunriseMs);
    // Three hours of 300 Pa above it while the film dries off.
    unit.hold(3 * 60, [{ rh: 96, t: 12.2, tp: 12.2 }]);
    unit.hold(3 * 60, [{ rh: 70, t: 15, tp: 16 }]);
    expect(unit.story('moisture')).toEqual([]);
    expect(unit.episodes.some((each) => each.source === 'water-ingress')).toBe(false);
  });

  it('is building air that comes up a conduit in winter, rain or not', () => {
    const unit = new ObservedUnit();
    unit.weatherAt = rainBetween(START_MS + 30 * HOUR_MS, START_MS + 34 * HOUR_MS, {
      rh: 85,
      t: 2,
    });
    unit.hold(72 * 60, [{ rh: 70, t: 9 }], 5 * MINUTE_MS);
    expect(unit.changes).toEqual([]);
  });

  it('is an excess without an outdoor report of the last hours', () => {
    const unit = new ObservedUnit();
    unit.weatherAt = (atMs) =>
      atMs < START_MS + 2 * HOUR_MS ? outdoors(START_MS, { rh: 70, t: 12, rain: 5 }) : null;
    unit.hold(2 * 60, [INSIDE_LIKE_OUTSIDE]);
    unit.hold(12 * 60, [INSIDE_FAR_WETTER]);
    expect(unit.story('moisture')).toEqual([]);
  });
});

it('rain of a report counts once, however many readings are judged by it', () => {
  const unit = new ObservedUnit();
  unit.weatherAt = () => outdoors(START_MS, { rh: 90, t: 10, rain: 1.5 });
  unit.hold(60, [DRY]);
  expect(unit.state.outdoor.rainHours).toEqual([{ startMs: START_MS, millimetres: 1.5 }]);
});
