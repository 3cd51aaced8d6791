import { describe, expect, it } from 'vitest';
import { PLAIN_SURROUNDINGS, type Surroundings } from '../src/world/surroundings.ts';
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

const DAYS = 6;

function worldWith(surroundings: Partial<Surroundings>, options: SmallWorldOptions = {}) {
  const all = { ...PLAIN_SURROUNDINGS, ...surroundings };
  return smallWorld({ ...options, script: { ...options.script, surroundings: all } });
}

function excessPascals({ truth, weather }: Minute): number {
  return truth.compartment.vapourPascals - weather.vapourPascals;
}

function leakMilliamps({ channels }: Minute): number {
  return 1000 * (channels?.leak ?? 0);
}

function lookAlikesOf(world: ReturnType<typeof smallWorld>): readonly string[] {
  const { lookAlikes } = world.unit('test-site', 'rtu-01').runTruth(START_MS + DAYS * DAY_MS);
  return lookAlikes.map(({ lookAlike }) => lookAlike);
}

describe('building air up a conduit', () => {
  /** About a metre a second up an unsealed conduit of 50 mm. */
  const buildingAir = { celsius: 21, humidityPercent: 30, cubicMetresPerHour: 6 };

  it('raises the vapour pressure by hundreds of Pa in a frost, without any opening', () => {
    const climate = 'deep-winter';
    const world = worldWith({ buildingAir }, { climate });
    const odd = [...minutesOf(world, DAYS)];
    const plain = [...minutesOf(worldWith({}, { climate }), DAYS)];
    expect(mean(odd.map(({ weather }) => weather.celsius))).toBeLessThan(0);
    expect(mean(odd.slice(1440).map(excessPascals))).toBeGreaterThan(200);
    expect(Math.abs(mean(plain.slice(1440).map(excessPascals)))).toBeLessThan(30);
    expect(lookAlikesOf(world)).toEqual(['building-air']);
  });

  it('does so without any water where nothing in it is colder than its dew point', () => {
    const cool = { celsius: 4, dewPointDepressionKelvin: 9, windMetresPerSecond: 1 };
    const stage = { ...cool, windFromDegrees: 300, wetMmPerHour: 0 };
    const stages = [{ ...stage, fromMs: START_MS - DAY_MS, toMs: START_MS + 9 * DAY_MS }];
    // Two metres a second in the same conduit.
    const up = { celsius: 21, humidityPercent: 34, cubicMetresPerHour: 14 };
    const storms = [{ site: 'test-site', stages }];
    // From the second day on: at first the plate is as cold as the outdoors.
    const odd = [...minutesOf(worldWith({ buildingAir: up }, { storms }), DAYS)].slice(1440);
    expect(mean(odd.map(excessPascals))).toBeGreaterThan(200);
    for (const { truth } of odd) {
      expect(truth.compartment.filmGramsPerSquareMetre).toBe(0);
      expect(truth.compartment.poolGrams).toBe(0);
    }
  });

  it('is gone when it is as warm outdoors as in the building', () => {
    const at = { climate: 'steam-delta', days: DAYS } as const;
    const odd = [...minutesOf(worldWith({ buildingAir }, at), DAYS)];
    expect(Math.abs(mean(odd.slice(1440).map(excessPascals)))).toBeLessThan(60);
  });
});

describe('a washing of coils', () => {
  it('has an open door, a unit that is off and much vapour, without a drop of rain', () => {
    const fromMs = START_MS + 2 * DAY_MS + 15 * HOUR_MS;
    const washing = { fromMs, toMs: fromMs + 2 * HOUR_MS };
    const script = { node: { doorSwitch: true } };
    const options = { climate: 'high-plain', script } as const;
    const world = worldWith({ washings: [washing] }, options);
    const odd = [...minutesOf(world, DAYS)];
    const during = odd.filter(({ atMs }) => atMs >= washing.fromMs && atMs < washing.toMs);
    const others = odd.filter(({ atMs }) => atMs < washing.fromMs);
    expect(during.length).toBe(120);
    for (const { channels, weather } of during) {
      expect(weather.rainMm + weather.snowMm).toBe(0);
      expect([channels?.door, channels?.ia, channels?.ib, channels?.ic]).toEqual([1, 0, 0, 0]);
    }
    const film = ({ truth }: Minute): number => truth.compartment.filmGramsPerSquareMetre;
    expect(Math.max(...during.map(film))).toBeGreaterThan(20);
    expect(Math.max(...others.map(film))).toBeLessThan(1);
    expect(others.some(({ channels }) => channels?.door === 1)).toBe(false);
    expect(lookAlikesOf(world)).toEqual(['coil-washing']);
  });
});

describe('snow that lies frozen in the compartment', () => {
  const thawMs = START_MS + 3 * DAY_MS;
  const stage = { dewPointDepressionKelvin: 4, windMetresPerSecond: 3, wetMmPerHour: 0 };
  const stages = [
    { ...stage, fromMs: START_MS - DAY_MS, toMs: thawMs, celsius: -9, windFromDegrees: 300 },
    { ...stage, fromMs: thawMs, toMs: thawMs + 9 * DAY_MS, celsius: 6, windFromDegrees: 200 },
  ];

  it('leaks nothing below 0 C and jumps at the melt', () => {
    const options: SmallWorldOptions = {
      climate: 'snow-ridge',
      storms: [{ site: 'test-site', stages }],
      faults: [TRACK],
    };
    const snowInside = { atMs: START_MS + HOUR_MS, grams: 900 };
    const world = worldWith({ snowInside }, options);
    const odd = [...minutesOf(world, DAYS)];
    const plain = [...minutesOf(worldWith({}, options), DAYS)];
    const between = (minutes: readonly Minute[], fromMs: number, toMs: number): Minute[] =>
      minutes.filter(({ atMs }) => atMs >= fromMs && atMs < toMs);
    const frost = (minutes: readonly Minute[]): Minute[] =>
      between(minutes, START_MS + DAY_MS, thawMs - 6 * HOUR_MS);
    const melt = (minutes: readonly Minute[]): Minute[] =>
      between(minutes, thawMs, thawMs + DAY_MS);
    expect(Math.max(...frost(odd).map(({ weather }) => weather.celsius))).toBeLessThan(-3);
    expect(frost(odd).every(({ truth }) => truth.compartment.snowGrams === 900)).toBe(true);
    // What leaks in the frost leaks without the snow as well: the load error of the sensor.
    expect(mean(frost(odd).map(leakMilliamps))).toBe(mean(frost(plain).map(leakMilliamps)));
    expect(mean(frost(odd).map(leakMilliamps))).toBeLessThan(3);
    const first = mean(between(odd, thawMs + 3 * HOUR_MS, thawMs + 6 * HOUR_MS).map(leakMilliamps));
    const bare = mean(
      between(plain, thawMs + 3 * HOUR_MS, thawMs + 6 * HOUR_MS).map(leakMilliamps),
    );
    expect(first).toBeGreaterThan(bare + 8);
    expect(Math.max(...melt(plain).map(leakMilliamps))).toBeLessThan(first / 2);
    expect(lookAlikesOf(world)).toEqual(['frozen-snow']);
  });
});
