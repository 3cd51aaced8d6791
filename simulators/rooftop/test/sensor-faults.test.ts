import { describe, expect, it } from 'vitest';
import type { Fault } from '../src/index.ts';
import { DAY_MS, type Minute, mean, minutesOf, START_MS, smallWorld } from './small-world.ts';

const FROM_MS = START_MS + DAY_MS;
const DAYS = 4;

function pairOf(fault: Fault): { readonly odd: Minute[]; readonly plain: Minute[] } {
  const options = { climate: 'humid-coast' } as const;
  return {
    odd: [...minutesOf(smallWorld({ ...options, faults: [fault] }), DAYS)],
    plain: [...minutesOf(smallWorld(options), DAYS)],
  };
}

const since = ({ atMs }: Minute): boolean => atMs >= FROM_MS;
const busy = (minute: Minute): boolean => since(minute) && minute.truth.compressorsRunning > 0;

function average(minutes: readonly Minute[], name: 'leak' | 'ia' | 'ib' | 'ic' | 'rh'): number {
  return mean(minutes.map(({ channels }) => channels![name]!));
}

describe('a slipped transformer', () => {
  it('reads low by a fixed ratio, and nothing else changes', () => {
    const { odd, plain } = pairOf({
      kind: 'transformer-slipped',
      on: 'b',
      ratio: 0.7,
      fromMs: FROM_MS,
    });
    expect(average(odd.filter(busy), 'ib') / average(plain.filter(busy), 'ib')).toBeCloseTo(0.7, 2);
    expect(average(odd.filter(busy), 'ia')).toBe(average(plain.filter(busy), 'ia'));
    expect(average(odd.filter(since), 'leak')).toBe(average(plain.filter(since), 'leak'));
  });

  it('reads zero leakage when it is off', () => {
    const { odd } = pairOf({ kind: 'transformer-slipped', on: 'leak', ratio: 0, fromMs: FROM_MS });
    expect(average(odd.filter(since), 'leak')).toBeLessThan(0.00005);
  });
});

describe('a leakage sensor at fault', () => {
  it('is flat, or out of range, with no counterpart in other channels', () => {
    const stuck = pairOf({ kind: 'leak-sensor-fault', reads: 'stuck', fromMs: FROM_MS }).odd;
    expect(new Set(stuck.filter(since).map(({ channels }) => channels!.leak)).size).toBe(1);
    const { odd, plain } = pairOf({
      kind: 'leak-sensor-fault',
      reads: 'out-of-range',
      fromMs: FROM_MS,
    });
    expect(odd.filter(since).every(({ channels }) => channels!.leak! > 10)).toBe(true);
    expect(average(odd, 'ia')).toBe(average(plain, 'ia'));
  });

  it('jumps by so much', () => {
    const { odd, plain } = pairOf({ kind: 'sensor-jump', channel: 'leak', by: 7, fromMs: FROM_MS });
    const jump = average(odd.filter(since), 'leak') - average(plain.filter(since), 'leak');
    expect(1000 * jump).toBeCloseTo(7, 1);
  });
});

describe('transformers exchanged or turned round', () => {
  it('exchange two phases, and an RMS value tells nothing of a turned one', () => {
    const swapped = pairOf({ kind: 'transformers-swapped', phases: ['a', 'c'], fromMs: FROM_MS });
    expect(average(swapped.odd.filter(since), 'ia')).toBeCloseTo(
      average(swapped.plain.filter(since), 'ic'),
      1,
    );
    const { odd, plain } = pairOf({ kind: 'transformer-reversed', phase: 'a', fromMs: FROM_MS });
    expect(odd.map(({ channels }) => channels)).toEqual(plain.map(({ channels }) => channels));
  });
});

describe('a humidity sensor that sticks', () => {
  it('stays near 100 % for hours after condensation and has crept up', () => {
    const fault = {
      kind: 'humidity-sticks',
      stickHours: 5,
      creepPercent: 4,
      fromMs: START_MS,
    } as const;
    const { odd, plain } = pairOf(fault);
    const stuck = odd.filter(
      ({ channels }, index) => channels!.rh! > 97.5 && plain[index]!.channels!.rh! < 96,
    );
    expect(stuck.length).toBeGreaterThan(100);
    const free = odd.flatMap(({ channels, atMs }, index) =>
      atMs > START_MS + 3 * DAY_MS && channels!.rh! < 97
        ? [channels!.rh! - plain[index]!.channels!.rh!]
        : [],
    );
    expect(mean(free)).toBeGreaterThan(0.9);
    expect(mean(free)).toBeLessThan(4.2);
  });
});

describe('a clock in error, a lossy link', () => {
  it('shifts the event times, more and more', () => {
    const world = smallWorld({
      faults: [{ kind: 'clock-error', offsetMs: 90_000, partsPerMillion: 100, fromMs: FROM_MS }],
    });
    const unit = world.unit('test-site', 'rtu-01');
    expect(unit.step(FROM_MS - 60_000)!.atMs).toBe(FROM_MS - 60_000);
    expect(unit.step(FROM_MS + 1_000_000)!.atMs).toBe(FROM_MS + 1_000_000 + 90_000 + 100);
  });

  it('loses the share of readings that it is told to', () => {
    const { odd } = pairOf({ kind: 'readings-lost', share: 0.2, fromMs: FROM_MS });
    const lost = odd.filter(({ channels }) => channels === null).length;
    expect(lost / odd.filter(since).length).toBeCloseTo(0.2, 1);
  });
});
