import type { Alarm } from '@lineside/alarms';
import type { UnitCondition, WettingEpisode } from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import { BackTest, judgeHistory } from '@lineside/judging';
import { describe, expect, it } from 'vitest';
import { HOUR_MS, idleWithLeakage, MINUTE_MS, START_MS, unitLike } from './observed-roof.ts';

class Outcome {
  readonly alarms: Alarm[] = [];
  readonly episodes: WettingEpisode[] = [];
  readonly conditions: { readonly atMs: number; readonly condition: UnitCondition }[] = [];
  readonly alarm = (_unit: Unit, alarm: Alarm): void => {
    this.alarms.push(alarm);
  };
  readonly episode = (_unit: Unit, episode: WettingEpisode): void => {
    this.episodes.push(episode);
  };
  readonly condition = (_unit: Unit, atMs: number, condition: UnitCondition): void => {
    this.conditions.push({ atMs, condition });
  };
}

const unit = unitLike();
const leak = (milliamps: number, minutes: number): number[] => Array(minutes).fill(milliamps);

function testOf(outcome: Outcome, conditionEveryMs: number | null = null): BackTest {
  return new BackTest({ units: [unit], sink: outcome, conditionEveryMs });
}

describe('a back-test', () => {
  it('says what the history of each unit says', () => {
    const readings = idleWithLeakage([...leak(1, 30), ...leak(35, 30), ...leak(0.8, 200)]);
    const services = [3, 4, 5, 5, 60].map((minute) => ({
      atMs: START_MS + minute * MINUTE_MS,
      action: 'fuses-replaced',
      phases: ['a' as const],
    }));
    const outcome = new Outcome();
    const test = testOf(outcome);
    const left = [...services];
    for (const { site, unit: id, atMs, channels } of readings) {
      while ((left[0]?.atMs ?? Infinity) <= atMs) test.service(site, id, left.shift()!);
      test.reading(site, id, atMs, channels);
    }
    test.end();
    const expected = judgeHistory({ unit, readings, weather: [], services });
    expect(outcome.alarms.toSorted((a, b) => a.raisedAtMs - b.raisedAtMs)).toEqual(expected.alarms);
    expect(outcome.alarms.length).toBeGreaterThan(1);
    expect(outcome.episodes).toEqual(expected.episodes);
  });

  it('takes silence from gaps, up to the last time of any input', () => {
    const outcome = new Outcome();
    const test = testOf(outcome);
    test.reading('harbour-mall', 'rtu-01', START_MS, { rh: 40 });
    test.reading('harbour-mall', 'rtu-01', START_MS + 2 * HOUR_MS, { rh: 40 });
    test.weather({
      site: 'harbour-mall',
      unit: 'weather',
      atMs: START_MS + 8 * HOUR_MS,
      channels: { rh: 50 },
    });
    test.end();
    const times = outcome.alarms.map(({ kind, priority, raisedAtMs, clearedAtMs }) => ({
      kind,
      priority,
      raised: (raisedAtMs - START_MS) / HOUR_MS,
      cleared: clearedAtMs === null ? null : (clearedAtMs - START_MS) / HOUR_MS,
    }));
    // The second silence begins within the hour after the first ended: the same alarm again.
    expect(times).toEqual([{ kind: 'silent', priority: 'urgent', raised: 1, cleared: null }]);
  });

  it('tells conditions at whole multiples of the interval, and the last one in a gap', () => {
    const outcome = new Outcome();
    const test = testOf(outcome, HOUR_MS);
    for (const minute of [0, 30, 90, 300]) {
      const atMs = START_MS + minute * MINUTE_MS;
      test.reading('harbour-mall', 'rtu-01', atMs, { rh: minute / 10, t: 20 });
    }
    test.end();
    expect(
      outcome.conditions.map(({ atMs, condition }) => [
        (atMs - START_MS) / HOUR_MS,
        condition.relativeHumidityPercent,
      ]),
    ).toEqual([
      [1, 3],
      [2, 9],
    ]);
  });

  it('refuses an event that is older than the last one of its unit', () => {
    const test = testOf(new Outcome());
    test.reading('harbour-mall', 'rtu-01', START_MS, { rh: 40 });
    expect(() => test.reading('harbour-mall', 'rtu-01', START_MS - 1, { rh: 40 })).toThrow(
      'harbour-mall/rtu-01',
    );
  });
});
