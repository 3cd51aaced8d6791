import { applyFleet, parseFleetFile, toFleet, type Unit } from '@lineside/fleet';
import type { ChannelValues } from '@lineside/readings';
import { describe, expect, it } from 'vitest';
import { bandHalfWidth, nextAverage } from '../src/rivals/ewma-chart.ts';
import { Ladder } from '../src/rivals/ladder.ts';
import type { RivalSettings } from '../src/rivals/rival.ts';
import { RivalJudge } from '../src/rivals/rival-judge.ts';
import { medianOf, robustSpread } from '../src/rivals/robust-score.ts';
import { readTuned } from '../src/tuning/tuned-file.ts';
import { DAY_MS, HOUR_MS, START_MS } from './hand-made.ts';

const MINUTE_MS = 60_000;

describe('the chart of averages', () => {
  it('gives the averages and limits of the NIST example', () => {
    // NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4: weight 0.3, three spreads.
    const data = [52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8];
    const published = [
      50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52,
      50.05, 49.38,
    ];
    let average = 50;
    const averages = data.map((value) => {
      average = nextAverage(average, value, 0.3);
      return average;
    });
    for (const [index, value] of averages.entries()) {
      expect(value).toBeCloseTo(published[index]!, 2);
    }
    expect(50 + bandHalfWidth(2.0539, 0.3, 3)).toBeCloseTo(52.5884, 3);
  });
});

describe('the robust score', () => {
  it('takes the middle of an even number of values', () => {
    expect(medianOf(Float64Array.of(9, 1, 4, 2))).toBe(3);
  });

  it('is not moved by one wild value', () => {
    const calm = robustSpread([1, 2, 3, 4, 5]);
    const wild = robustSpread([1, 2, 3, 4, 5000]);
    expect(wild).toEqual(calm);
    expect(calm).toEqual({ median: 3, spread: 1.4826 });
  });
});

describe('the ladder', () => {
  it('takes a step only when its level has lasted', () => {
    const ladder = new Ladder(10);
    const steps = Array.from({ length: 12 }, (_, minute) =>
      ladder.step(START_MS + minute * MINUTE_MS, 'idle', 1),
    );
    expect(steps.findIndex((change) => change !== null)).toBe(10);
    expect(steps[10]).toMatchObject({ change: 'opened', level: 1 });
  });

  it('starts again when the level is left for a moment', () => {
    const ladder = new Ladder(10);
    const steps = Array.from({ length: 15 }, (_, minute) =>
      ladder.step(START_MS + minute * MINUTE_MS, 'idle', minute === 7 ? -1 : 1),
    );
    expect(steps.every((change) => change === null)).toBe(true);
  });

  it('goes on with a load that comes and goes', () => {
    const ladder = new Ladder(10);
    const steps = Array.from({ length: 40 }, (_, minute) => {
      const running = Math.floor(minute / 5) % 2 === 0;
      const atMs = START_MS + minute * MINUTE_MS;
      return ladder.step(atMs, running ? 'running' : 'idle', running ? 0 : -1);
    });
    expect(steps.filter((change) => change?.change === 'opened')).toHaveLength(1);
    expect(steps.some((change) => change?.change === 'closed')).toBe(false);
  });

  it('closes after an hour in control', () => {
    const ladder = new Ladder(0);
    ladder.step(START_MS, 'idle', 0);
    const closedAt = Array.from({ length: 70 }, (_, minute) => minute + 1).find(
      (minute) => ladder.step(START_MS + minute * MINUTE_MS, 'idle', -1)?.change === 'closed',
    );
    expect(closedAt).toBe(60);
  });
});

const [UNIT] = toFleet(
  applyFleet(
    null,
    parseFleetFile(
      JSON.stringify({
        sites: [{ id: 'roof', units: [{ id: 'rtu-01', supply: { volts: 480 } }] }],
      }),
      'test',
    ),
  ),
).units as [Unit];

const QUIET: ChannelValues = { rh: 50, t: 20, leak: 0.001, ia: 0.2, ib: 0.21, ic: 0.02 };
const RUNNING: ChannelValues = { ...QUIET, ia: 17, ib: 17.1, ic: 17.2 };

/** Three weeks of quiet, then `change` for so many hours; what the rival says about it. */
function judged(settings: RivalSettings, change: ChannelValues, hours: number) {
  const judge = new RivalJudge(UNIT, settings);
  const changeMs = START_MS + 21 * DAY_MS;
  const endMs = changeMs + hours * HOUR_MS;
  for (let atMs = START_MS; atMs < endMs; atMs += 5 * MINUTE_MS) {
    const ripple = 0.0001 * Math.sin(atMs / HOUR_MS);
    const quiet = Math.floor(atMs / HOUR_MS) % 2 === 0 ? QUIET : RUNNING;
    const channels = { ...quiet, ...(atMs >= changeMs ? change : {}) };
    judge.reading(atMs, { ...channels, leak: (channels.leak ?? 0) + ripple }, null);
  }
  return judge.end(endMs).alarms.map(({ kind, priority, causes }) => ({
    kind,
    priority,
    cause: causes[0]?.cause,
  }));
}

describe.each(Object.values(readTuned()))('$rival as tuned', (settings) => {
  it('says nothing about a quiet unit', () => {
    expect(judged(settings, {}, 48)).toEqual([]);
  });

  it('tells of 40 mA of leakage that is there at rest, on the line side', () => {
    const told = judged(settings, { leak: 0.04 }, 48);
    const priority = 'emergency';
    expect(told).toContainEqual({ kind: 'leakage', priority, cause: 'line-side-track-to-ground' });
  });

  it('tells of a lost phase and of a dead unit', () => {
    const lost = judged(settings, { ia: 30, ib: 30, ic: 0.01 }, 2);
    const dead = judged(settings, { ia: 0, ib: 0, ic: 0 }, 2);
    expect(lost.map(({ kind }) => kind)).toContain('phase-loss');
    expect(dead.map(({ kind }) => kind)).toContain('supply-loss');
  });

  it('tells of a node that fell silent, by the same rule as we do', () => {
    const judge = new RivalJudge(UNIT, settings);
    judge.reading(START_MS, QUIET, null);
    const { alarms } = judge.end(START_MS + 5 * HOUR_MS);
    expect(alarms.map(({ kind }) => kind)).toEqual(['silent']);
  });
});
