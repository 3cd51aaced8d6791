import { describe, expect, it } from 'vitest';
import type { Fault } from '../src/index.ts';
import {
  DAY_MS,
  HOUR_MS,
  type Minute,
  mean,
  minutesOf,
  type SmallWorldOptions,
  START_MS,
  smallWorld,
  TRACK,
} from './small-world.ts';

const FROM_MS = START_MS + DAY_MS;
const HUMID = { climate: 'humid-coast' } as const;

function minutesWith(fault: Fault, days = 4, options: SmallWorldOptions = HUMID): Minute[] {
  return [...minutesOf(smallWorld({ ...options, faults: [fault] }), days)];
}

function leak(minutes: readonly Minute[]): number {
  return mean(minutes.map(({ channels }) => 1000 * channels!.leak!));
}

const since = ({ atMs }: Minute): boolean => atMs > FROM_MS + 60_000;
const idle = ({ truth }: Minute): boolean => truth.loadsRunning === 0;

describe('vermin', () => {
  it('leak at once, idle as well as running, dry as well as wet, and do not grow', () => {
    const minutes = minutesWith({ kind: 'vermin', phase: 'a', fromMs: FROM_MS, milliamps: 12 });
    const plain = [...minutesOf(smallWorld(HUMID), 4)];
    const extra = (pick: (minute: Minute) => boolean): number =>
      leak(minutes.filter(pick)) - leak(plain.filter(pick));
    expect(extra((minute) => !since(minute) && minute.atMs < FROM_MS)).toBe(0);
    const still = (day: number): number =>
      extra((minute) => since(minute) && idle(minute) && minute.atMs > START_MS + day * DAY_MS);
    expect(still(1)).toBeGreaterThan(9);
    expect(Math.abs(still(3) - still(1))).toBeLessThan(0.3);
    expect(extra((minute) => since(minute) && !idle(minute))).toBeGreaterThan(9);
  });
});

describe('a fan motor out in the rain', () => {
  it('leaks while it runs, and far more when soaked', () => {
    const rain = {
      site: 'test-site',
      stages: [
        {
          fromMs: START_MS + 2 * DAY_MS,
          toMs: START_MS + 3 * DAY_MS,
          celsius: 12,
          dewPointDepressionKelvin: 1,
          windMetresPerSecond: 4,
          windFromDegrees: 90,
          wetMmPerHour: 3,
        },
      ],
    };
    const fault: Fault = {
      kind: 'load-insulation',
      contactor: 1,
      phase: 'c',
      fromMs: START_MS,
      milliamps: 1.5,
      milliampsPerWeek: 0,
      rainFactor: 8,
    };
    const options = { ...HUMID, storms: [rain], days: 4 };
    const odd = minutesWith(fault, 4, options);
    const plain = [...minutesOf(smallWorld(options), 4)];
    const extra = (from: number, to: number, pick: (minute: Minute) => boolean): number => {
      const span = ({ atMs }: Minute): boolean =>
        atMs > START_MS + from * DAY_MS && atMs < START_MS + to * DAY_MS;
      const both = (minute: Minute): boolean => span(minute) && pick(minute);
      return leak(odd.filter(both)) - leak(plain.filter(both));
    };
    const runs = (minute: Minute): boolean => !idle(minute);
    expect(extra(2.3, 3, runs)).toBeGreaterThan(5);
    expect(Math.abs(extra(2.3, 3, idle))).toBeLessThan(0.05);
  });
});

describe('a worn pole', () => {
  it('lets one phase fall behind, by another share at each pull-in', () => {
    const minutes = minutesWith({
      kind: 'worn-pole',
      contactor: 0,
      phase: 'b',
      fromMs: START_MS - DAY_MS,
      untilMs: START_MS,
      finalPercent: 20,
    });
    const shares = minutes
      .filter(({ truth }) => truth.compressorsRunning > 0)
      .map(({ channels }) => 1 - channels!.ib! / ((channels!.ia! + channels!.ic!) / 2));
    expect(Math.min(...shares)).toBeLessThan(0.14);
    expect(Math.max(...shares)).toBeGreaterThan(0.25);
  });
});

describe('fuses that open without any leakage before', () => {
  it('go at the start of a grounded compressor, and again after each swap', () => {
    const world = smallWorld({
      ...HUMID,
      faults: [{ kind: 'compressor-grounded', contactor: 0, fromMs: FROM_MS, opens: ['a', 'b'] }],
      script: { fusesSwappedAfterMs: 4 * HOUR_MS, swapsRecordedAfterMs: null },
    });
    const minutes = [...minutesOf(world, 4)];
    const openings = minutes.filter(
      ({ truth }, index) =>
        truth.openFuses.length > 0 && minutes[index - 1]?.truth.openFuses.length === 0,
    );
    expect(openings.length).toBeGreaterThan(2);
    expect(openings[0]!.truth.openFuses).toEqual(['a', 'b']);
    const unit = world.unit('test-site', 'rtu-01');
    expect(unit.takeServiceRecords()).toEqual([]);
    const truth = unit.runTruth(START_MS + 4 * DAY_MS);
    expect(truth.visits.length).toBeGreaterThan(1);
    expect(truth.visits.every(({ ended }) => ended.length === 0)).toBe(true);
    expect(truth.faults[0]).toMatchObject({ side: 'load', failureMs: openings[0]!.atMs });
  });

  it('go on the same phase, in a hot clip, under load in dry weather', () => {
    const fault: Fault = {
      kind: 'hot-fuse-clip',
      phase: 'c',
      fromMs: START_MS,
      aboveLoadShare: 0.5,
    };
    const world = smallWorld({ climate: 'high-plain', faults: [fault], days: 20 });
    const minutes = [...minutesOf(world, 20)];
    const opened = minutes.find(({ truth }) => truth.openFuses.length > 0)!;
    expect(opened.truth.openFuses).toEqual(['c']);
    expect(opened.weather.humidityPercent).toBeLessThan(60);
    expect(opened.truth.compressorsRunning).toBeGreaterThan(0);
  });

  it('leave nothing, idle current included, and so does a disconnect that is open', () => {
    const toMs = FROM_MS + 6 * HOUR_MS;
    for (const fault of [
      { kind: 'fuses-gone', phases: ['a', 'b', 'c'], atMs: FROM_MS },
      { kind: 'disconnect-open', fromMs: FROM_MS, toMs },
    ] as const) {
      const dead = minutesWith(fault, 2).filter((one) => since(one) && one.atMs < toMs);
      const amps = dead.map(({ channels }) => channels!.ia! + channels!.ib! + channels!.ic!);
      expect(Math.max(...amps)).toBe(0);
      expect(leak(dead)).toBeLessThan(0.05);
    }
    const back = minutesWith({ kind: 'disconnect-open', fromMs: FROM_MS, toMs }, 2).at(-1)!;
    expect(back.channels!.ia).toBeGreaterThan(0.1);
  });
});

describe('a track that flashes over by itself', () => {
  const wild: Fault = {
    ...TRACK,
    carbonAtStart: 0.3,
    depositMicrosiemens: 60,
    flashesByItself: true,
  };

  it('opens fuses while wet, on its own phase at least, by the seed', () => {
    const run = (seed: number): Minute | undefined =>
      minutesWith(wild, 8, { ...HUMID, seed }).find(({ truth }) => truth.openFuses.length > 0);
    const first = run(1)!;
    expect(first.truth.openFuses).toContain('c');
    expect(first.truth.tracks[0]!.wetness).toBeGreaterThan(0.1);
    expect(run(1)!.atMs).toBe(first.atMs);
    expect(run(2)?.atMs).not.toBe(first.atMs);
  });

  it('remains in part when it is wiped only, and ends when it is replaced', () => {
    const visit = (effects: ['track-cleaned'] | ['track-removed']) => ({
      atMs: START_MS + 2 * DAY_MS,
      disconnectOpenMs: HOUR_MS,
      effects,
      lines: [{ action: 'cleaned' }],
      recordedAfterMs: DAY_MS,
    });
    const tame: Fault = { ...TRACK, carbonAtStart: 0.4 };
    const highestSince = (effects: ['track-cleaned'] | ['track-removed']): number => {
      const world = smallWorld({ ...HUMID, faults: [tame], script: { visits: [visit(effects)] } });
      const later = [...minutesOf(world, 6)].filter(({ atMs }) => atMs > START_MS + 3 * DAY_MS);
      const truth = world.unit('test-site', 'rtu-01').runTruth(START_MS + 6 * DAY_MS);
      expect(truth.visits[0]!.ended).toEqual(effects[0] === 'track-removed' ? [0] : []);
      return Math.max(...later.map(({ truth: now }) => now.tracks[0]?.milliamps ?? 0));
    };
    expect(highestSince(['track-removed'])).toBe(0);
    expect(highestSince(['track-cleaned'])).toBeGreaterThan(2);
  });
});
