import { conditionOf } from '@lineside/anomaly';
import { describe, expect, it } from 'vitest';
import { DAY_MS, DRY, HOUR_MS, MINUTE_MS, ObservedUnit, outdoors } from './observed-unit.ts';

const WET = { rh: 90, t: 10 };

describe('a wetting', () => {
  it('starts with its first wet reading and ends with its last, in ISO 9223 hours', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [DRY]);
    const startMs = unit.atMs;
    unit.hold(3 * 60, [WET]);
    const lastWetMs = unit.atMs - MINUTE_MS;
    unit.hold(3 * 60, [DRY]);
    const ended = unit.episodes.filter((each) => each.endMs !== null);
    expect(ended).toHaveLength(1);
    expect(ended[0]).toMatchObject({ startMs, endMs: lastWetMs, source: 'humid-weather' });
    expect(ended[0]!.wetHours).toBeCloseTo(3 - 1 / 60, 2);
  });

  it('is told when it opens, at most hourly while it goes on, and when it ends', () => {
    const unit = new ObservedUnit();
    unit.hold(6 * 60, [WET]);
    expect(unit.episodes.length).toBeGreaterThanOrEqual(5);
    expect(unit.episodes.length).toBeLessThanOrEqual(7);
    expect(new Set(unit.episodes.map((each) => each.startMs)).size).toBe(1);
    unit.hold(120, [DRY]);
    expect(unit.episodes.at(-1)!.endMs).not.toBeNull();
    const count = unit.episodes.length;
    unit.hold(600, [DRY]);
    expect(unit.episodes).toHaveLength(count);
  });

  it('goes on over a dry gap of less than an hour and ends at a longer one', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [WET]);
    unit.hold(50, [DRY]);
    unit.hold(60, [WET]);
    unit.hold(70, [DRY]);
    unit.hold(60, [WET]);
    expect(new Set(unit.episodes.map((each) => each.startMs)).size).toBe(2);
    const first = unit.episodes.find((each) => each.endMs !== null);
    expect(first!.wetHours).toBeCloseTo(2 - 2 / 60, 1);
  });

  it('peaks where the dew-point margin is smallest', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [WET]);
    const peakMs = unit.atMs;
    unit.hold(1, [{ rh: 99, t: 8 }]);
    unit.hold(60, [WET]);
    unit.hold(120, [DRY]);
    expect(unit.episodes.at(-1)!.peakMs).toBe(peakMs);
  });

  it('is not opened by one wild value, below the edge of the criterion, or by dry frost', () => {
    const unit = new ObservedUnit();
    for (let hour = 0; hour < 5; hour += 1) {
      unit.hold(30, [DRY]);
      unit.hold(1, [{ rh: 100, t: 15 }]);
    }
    unit.hold(300, [{ rh: 74, t: 10 }]);
    unit.hold(50, [{ rh: 79, t: 10 }]);
    unit.hold(300, [{ rh: 85, t: -4, tp: -4 }]);
    expect(unit.episodes).toEqual([]);
  });

  it('is opened by an hour at the edge of the criterion, without hours of wetness', () => {
    // Sodium nitrate deliquesces at 74.2 %RH, common salt at 75.3 (25 C): CRC Handbook.
    const unit = new ObservedUnit();
    unit.hold(60, [DRY]);
    const startMs = unit.atMs;
    unit.hold(90, [{ rh: 75, t: 10 }]);
    expect(unit.episodes.at(-1)).toMatchObject({ startMs, source: 'humid-weather', wetHours: 0 });
    expect(unit.state.wetness).toMatchObject({ wet: false, spell: { sinceMs: null } });
  });

  it('is opened by frost on the plate that salt thaws, not by a colder one', () => {
    const cold = new ObservedUnit();
    cold.hold(5 * 60, [{ rh: 90, t: -12, tp: -15 }]);
    expect(cold.episodes).toEqual([]);
    const unit = new ObservedUnit();
    unit.hold(5 * 60, [{ rh: 90, t: -4, tp: -7 }]);
    expect(unit.episodes.at(-1)).toMatchObject({ source: 'condensation', wetHours: 0 });
    expect(unit.state.wetness).toMatchObject({ wet: false, spell: { sinceMs: null } });
  });

  it('keeps alarms to the strict criterion for an hour after it', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [WET]);
    unit.hold(55, [{ rh: 60, t: 10 }]);
    expect(unit.state.wetness.spell.sinceMs).not.toBeNull();
    unit.hold(10, [{ rh: 60, t: 10 }]);
    expect(unit.state.wetness.spell.sinceMs).toBeNull();
  });

  it('is opened by a plate below the dew point in air that is not wet by itself', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [{ rh: 75, t: 12, tp: 5 }]);
    unit.hold(180, [{ rh: 45, t: 15, tp: 15 }]);
    expect(unit.episodes.at(-1)).toMatchObject({ source: 'condensation' });
    // An hour of dew, and some minutes until it has dried.
    expect(unit.episodes.at(-1)!.wetHours).toBeCloseTo(1.1, 1);
  });

  it('goes on after dew while dirt dries, where damp air was left an hour after it', () => {
    const unit = new ObservedUnit();
    unit.hold(120, [{ rh: 98, t: 12, tp: 9 }]);
    // Dissolved salt stays so below the 75 %RH at which it wetted (S. T. Martin 2000, from memory).
    unit.hold(80, [{ rh: 72, t: 18, tp: 18 }]);
    unit.hold(300, [DRY]);
    const ended = unit.episodes.filter((each) => each.endMs !== null);
    expect(ended.map(({ source }) => source)).toEqual(['condensation', 'humid-weather']);
    const dryingHours = (ended[1]!.endMs! - ended[0]!.endMs!) / HOUR_MS;
    expect(dryingHours).toBeGreaterThan(2.9);
    expect(dryingHours).toBeLessThan(3.1);
  });

  it('goes on when frost has thawed, in dry air too, for as long as dirt dries', () => {
    const unit = new ObservedUnit();
    unit.hold(5 * 60, [{ rh: 90, t: -4, tp: -7 }]);
    const thawsMs = unit.atMs;
    unit.hold(6 * 60, [{ rh: 55, t: 6, tp: 6 }]);
    const ended = unit.episodes.filter((each) => each.endMs !== null);
    expect(ended.map(({ source }) => source)).toEqual(['condensation', 'humid-weather']);
    const behind = ended[1]!;
    expect(behind.startMs - thawsMs).toBeLessThan(HOUR_MS);
    expect(behind.endMs! - behind.startMs).toBe(3 * HOUR_MS);
  });

  it('ends with dew when dry air follows it', () => {
    const unit = new ObservedUnit();
    unit.hold(120, [{ rh: 98, t: 12, tp: 9 }]);
    unit.hold(300, [DRY]);
    const ended = unit.episodes.filter((each) => each.endMs !== null);
    expect(ended.map(({ source }) => source)).toEqual(['condensation']);
  });

  it('is not carried across many hours without readings', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [WET]);
    const lastWetMs = unit.atMs - MINUTE_MS;
    unit.atMs += 10 * HOUR_MS;
    unit.hold(60, [WET]);
    const ended = unit.episodes.find((each) => each.endMs !== null);
    expect(ended!.endMs).toBe(lastWetMs);
    expect(new Set(unit.episodes.map((each) => each.startMs)).size).toBe(2);
  });
});

describe('the source of a wetting', () => {
  it('is humid weather on a foggy night, and no alarm', () => {
    const unit = new ObservedUnit();
    unit.weatherAt = (atMs) => outdoors(atMs - 10 * MINUTE_MS, { rh: 99, t: 8, rain: 0 });
    unit.hold(8 * 60, [{ rh: 98, t: 8.2 }]);
    unit.hold(3 * 60, [DRY]);
    expect(unit.episodes.at(-1)).toMatchObject({ source: 'humid-weather' });
    expect(unit.changes).toEqual([]);
  });

  it('is condensation when the compartment is saturated while the air outside is not', () => {
    const unit = new ObservedUnit();
    unit.weatherAt = (atMs) => outdoors(atMs - 10 * MINUTE_MS, { rh: 75, t: 12, rain: 0 });
    unit.hold(4 * 60, [{ rh: 98, t: 7.8 }]);
    expect(unit.episodes.at(-1)).toMatchObject({ source: 'condensation' });
    expect(unit.changes).toEqual([]);
  });

  it('is less certain without an outdoor reference, and says so', () => {
    const unit = new ObservedUnit();
    unit.hold(3 * 60, [WET]);
    expect(unit.episodes.at(-1)!.evidence).toMatchObject({ outdoorReference: false });
    expect(String(unit.episodes.at(-1)!.evidence['sourceCertainty'])).toMatch(/^low/);
  });
});

describe('hours of wetness of the last 30 days', () => {
  it('add up by day and are forgotten after 30 days', () => {
    const unit = new ObservedUnit();
    for (let day = 0; day < 40; day += 1) {
      const dayMs = unit.atMs;
      unit.hold(61, [WET]);
      unit.hold(100, [DRY]);
      unit.atMs = dayMs + DAY_MS;
    }
    expect(conditionOf(unit.state, unit.unit)!.wetHours30Days).toBeCloseTo(30, 1);
    unit.atMs += 60 * DAY_MS;
    unit.hold(5, [DRY]);
    expect(conditionOf(unit.state, unit.unit)!.wetHours30Days).toBe(0);
  });

  it('count frost nowhere and a cold plate not by ISO 9223', () => {
    const unit = new ObservedUnit();
    unit.hold(120, [{ rh: 95, t: -5 }]);
    unit.hold(120, [{ rh: 75, t: 12, tp: 5 }]);
    expect(conditionOf(unit.state, unit.unit)!.wetHours30Days).toBe(0);
  });
});

it('the condition shows the wetting that goes on, the margin and the excess', () => {
  const unit = new ObservedUnit();
  const startMs = unit.atMs;
  unit.weatherAt = (atMs) => outdoors(atMs - 10 * MINUTE_MS, { rh: 60, t: 10 });
  unit.hold(30, [{ rh: 90, t: 10, tp: 9 }]);
  const condition = conditionOf(unit.state, unit.unit)!;
  expect(condition.wetting).toEqual({ sinceMs: startMs, source: 'humid-weather' });
  expect(condition).toMatchObject({ marginInferred: false, relativeHumidityPercent: 90 });
  // 30 %RH of 1228 Pa; a plate of 9 C over a dew point of 8.4 C.
  expect(condition.vapourPressureExcessPascals).toBeCloseTo(368, 0);
  expect(condition.dewPointMarginKelvin).toBeCloseTo(0.57, 1);
});
