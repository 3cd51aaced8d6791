import { USUAL_LIMITS } from '@lineside/fleet';
import { judgeHistory } from '@lineside/judging';
import { describe, expect, it } from 'vitest';
import { idleWithLeakage, MINUTE_MS, START_MS, unitLike } from './observed-roof.ts';

const leak = (milliamps: number, minutes: number): number[] => Array(minutes).fill(milliamps);

describe('a history', () => {
  it('gives one leakage alarm that clears, dated by event time', () => {
    const readings = idleWithLeakage([...leak(1, 60), ...leak(15, 60), ...leak(1, 48 * 60)]);
    const { alarms } = judgeHistory({ unit: unitLike(), readings, weather: [], services: [] });
    expect(alarms.map(({ kind, priority, standing }) => ({ kind, priority, standing }))).toEqual([
      { kind: 'leakage', priority: 'urgent', standing: false },
    ]);
    const raisedMinute = ((alarms[0]?.raisedAtMs ?? 0) - START_MS) / MINUTE_MS;
    expect(raisedMinute).toBeGreaterThanOrEqual(60);
    expect(raisedMinute).toBeLessThanOrEqual(65);
  });

  it('is the same whatever order its readings and records are given in', () => {
    const readings = idleWithLeakage([...leak(1, 30), ...leak(35, 30), ...leak(0.8, 300)]);
    const services = [3, 4, 5].map((minute) => ({
      atMs: START_MS + minute * MINUTE_MS,
      action: 'fuses-replaced',
      phases: ['a' as const],
    }));
    const history = { unit: unitLike(), readings, weather: [], services };
    const expected = judgeHistory(history);
    expect(expected.alarms.map(({ kind }) => kind)).toEqual(['repeat-fuse', 'leakage']);
    const turned = judgeHistory({
      ...history,
      readings: readings.toReversed(),
      services: services.toReversed(),
    });
    expect(turned).toEqual(expected);
  });

  it('takes the first of two values of one instant, and joins channels that came apart', () => {
    const whole = idleWithLeakage([...leak(1, 10), ...leak(35, 10)]);
    const apart = whole.flatMap((reading) => {
      const { leak: amps, ...others } = reading.channels;
      return [
        { ...reading, channels: { leak: amps ?? 0 } },
        { ...reading, channels: others },
        { ...reading, channels: { leak: 0.0001 } },
      ];
    });
    const unit = unitLike();
    const nothing = { unit, weather: [], services: [] };
    expect(judgeHistory({ ...nothing, readings: apart })).toEqual(
      judgeHistory({ ...nothing, readings: whole }),
    );
  });

  it('is judged by the limits of its unit', () => {
    const readings = idleWithLeakage([...leak(1, 30), ...leak(15, 60)]);
    const lenient = unitLike({ limits: { ...USUAL_LIMITS, leakageUrgentMilliamps: 20 } });
    const strict = judgeHistory({ unit: unitLike(), readings, weather: [], services: [] });
    const loose = judgeHistory({ unit: lenient, readings, weather: [], services: [] });
    expect(strict.alarms.map(({ priority }) => priority)).toEqual(['urgent']);
    expect(loose.alarms.some(({ priority }) => priority === 'urgent')).toBe(false);
  });
});
