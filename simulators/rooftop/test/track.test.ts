import { describe, expect, it } from 'vitest';
import { balancedWetness } from '../src/world/deposits.ts';
import { randomStream } from '../src/world/random.ts';
import type { TrackGrowth } from '../src/world/scenario.ts';
import { flashOverNow, startTrack, stepTrack, type TrackState } from '../src/world/track.ts';

const GROWTH: TrackGrowth = {
  depositMicrosiemens: 14,
  wettingPointPercent: 62,
  carbonAtStart: 0,
  carbonPerKilojoule: 0.001,
  flashOvers: [],
};
const DRY = { humidityPercent: 40, filmGramsPerSquareMetre: 0, celsius: 10 };
const WET = { humidityPercent: 98, filmGramsPerSquareMetre: 20, celsius: 10 };
const VOLTS = 277;

function run(state: TrackState, moisture: typeof DRY, hours: number, growth = GROWTH): TrackState {
  const random = randomStream(1, 'track test');
  for (let minute = 0; minute < hours * 60; minute += 1) {
    stepTrack(state, growth, moisture, VOLTS, random, 60);
  }
  return state;
}

describe('a deposit', () => {
  it('wets smoothly above its wetting point, steeply towards saturation', () => {
    const at = (humidityPercent: number): number =>
      balancedWetness({ humidityPercent, filmGramsPerSquareMetre: 0, celsius: 10 }, 65);
    expect(at(20)).toBe(0);
    expect(at(65)).toBe(0);
    let last = 0;
    for (let humidity = 65.5; humidity <= 100; humidity += 0.5) {
      expect(at(humidity)).toBeGreaterThan(last);
      expect(at(humidity) - last).toBeLessThan(0.05);
      last = at(humidity);
    }
    expect(at(95)).toBeGreaterThan(4 * at(80));
  });

  it('is quiet when its water is frozen', () => {
    expect(balancedWetness({ ...WET, celsius: -4 }, 62)).toBe(0);
    expect(balancedWetness({ ...WET, celsius: -0.5 }, 62)).toBeGreaterThan(0);
  });
});

describe('a track', () => {
  it('conducts only while wet until it has carbonised', () => {
    const state = startTrack(GROWTH);
    run(state, DRY, 5);
    expect(state.milliamps).toBe(0);
    run(state, WET, 1);
    expect(state.milliamps).toBeGreaterThan(3);
    run(state, DRY, 12);
    expect(state.carbon).toBeLessThan(0.12);
    expect(state.milliamps).toBeLessThan(0.05);
  });

  it('leaves a dry floor that creeps up once it has carbonised', () => {
    const state = startTrack({ ...GROWTH, carbonAtStart: 0.2 });
    run(state, DRY, 1);
    const before = state.milliamps;
    expect(before).toBeGreaterThan(0.1);
    run(state, WET, 8);
    run(state, DRY, 24);
    expect(state.milliamps).toBeGreaterThan(1.5 * before);
  });

  it('finds a better path at each wetting', () => {
    const state = startTrack(GROWTH);
    const peaks = [1, 2, 3, 4].map(() => {
      run(state, WET, 6);
      const peak = state.milliamps;
      run(state, DRY, 24);
      return peak;
    });
    expect(peaks).toEqual([...peaks].sort((left, right) => left - right));
    expect(peaks[3]).toBeGreaterThan(1.2 * peaks[0]!);
  });

  it('never takes back energy or carbon, and grows by no more than is left', () => {
    const state = startTrack(GROWTH);
    let energy = 0;
    let carbon = 0;
    for (let hour = 0; hour < 400; hour += 1) {
      run(state, hour % 3 === 0 ? DRY : WET, 1);
      expect(state.energyJoules).toBeGreaterThanOrEqual(energy);
      expect(state.carbon).toBeGreaterThanOrEqual(carbon);
      expect(state.carbon).toBeLessThanOrEqual(1);
      energy = state.energyJoules;
      carbon = state.carbon;
    }
    expect(energy).toBeGreaterThan(1e6);
  });

  it('follows a wetting with a lag and sparks', () => {
    const state = startTrack({ ...GROWTH, carbonAtStart: 0.3 });
    run(state, WET, 1 / 60);
    const first = state.milliamps;
    run(state, WET, 2);
    expect(state.milliamps).toBeGreaterThan(3 * first);
    expect(state.burstCount).toBeGreaterThan(0);
    expect(state.peakFactor).toBeGreaterThan(1);
  });

  it('flashes over once for each line of its script, when wet enough and not before', () => {
    const flashOvers = [{ notBeforeMs: 1000, aboveMilliamps: 5, opens: ['a', 'c'] as const }];
    const state = startTrack(GROWTH);
    run(state, WET, 3);
    expect(flashOverNow(state, flashOvers, 999)).toEqual([]);
    expect(flashOverNow(state, flashOvers, 1000)).toEqual(['a', 'c']);
    expect(flashOverNow(state, flashOvers, 1001)).toEqual([]);
    const dry = run(startTrack(GROWTH), DRY, 3);
    expect(flashOverNow(dry, flashOvers, 2000)).toEqual([]);
  });
});
