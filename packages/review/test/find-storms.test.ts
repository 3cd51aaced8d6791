import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  findStorms,
  parseStormId,
  regionsOf,
  stormOfAnchor,
  type UnitEpisode,
  weatherToAsk,
} from '../src/index.ts';
import {
  alarm,
  DAY_MS,
  episode,
  HOUR_MS,
  onlyStorm,
  quarters,
  SITES,
  START_MS,
  search,
} from './invented.ts';

const threeUnits = [1, 2, 3].map((unit) =>
  episode('harbour', `rtu-${unit}`, START_MS + unit * HOUR_MS),
);

describe('what makes a storm', () => {
  it('is water in three units within half a day', () => {
    const storm = onlyStorm({ episodes: threeUnits });
    expect(storm.units.map(({ unit }) => unit)).toEqual(['rtu-1', 'rtu-2', 'rtu-3']);
    expect(storm.startMs).toBe(START_MS + HOUR_MS);
    expect(storm.endMs).toBe(START_MS + 9 * HOUR_MS);
    expect(storm.name).toBe('Water inside, Harbour Mall');
    expect(storm.because).toEqual([expect.stringContaining('3 units of 16')]);
  });

  it('is not water in two units without weather', () => {
    expect(findStorms(search({ episodes: threeUnits.slice(0, 2) }))).toEqual([]);
  });

  it('is not damp air, in however many units', () => {
    const damp = Array.from({ length: 8 }, (_, unit) =>
      episode('harbour', `rtu-${unit + 1}`, START_MS, { source: 'humid-weather' }),
    );
    expect(findStorms(search({ episodes: damp }))).toEqual([]);
  });

  it('is not the dew of units that condense each night', () => {
    const nights = (unit: string, count: number): UnitEpisode[] =>
      Array.from({ length: count }, (_, night) =>
        episode('harbour', unit, START_MS - night * DAY_MS, { source: 'condensation' }),
      );
    const habit = [1, 2, 3].flatMap((unit) => nights(`rtu-${unit}`, 20));
    const late = findStorms(search({ episodes: habit, fromMs: START_MS - DAY_MS }));
    expect(late).toEqual([]);
    const once = [1, 2, 3].flatMap((unit) => nights(`rtu-${unit}`, 1));
    expect(findStorms(search({ episodes: once }))).toHaveLength(1);
  });

  it('is not a share below a twentieth of a large region', () => {
    const units = Array.from({ length: 200 }, (_, index) => ({
      site: 'harbour',
      unit: `rtu-${index + 1}`,
    }));
    expect(findStorms(search({ units, episodes: threeUnits }))).toEqual([]);
  });

  it('is leakage alarms of three units, and not those withdrawn', () => {
    const alarms = [1, 2, 3].map((unit) => alarm('harbour', `rtu-${unit}`, START_MS));
    expect(findStorms(search({ alarms }))).toHaveLength(1);
    const [first, ...others] = alarms;
    expect(findStorms(search({ alarms: [{ ...first!, withdrawn: true }, ...others] }))).toEqual([]);
  });

  it('is never a utility that lost its supply', () => {
    const causes = [{ cause: 'utility-outage', probability: 0.9, because: [] }] as const;
    const alarms = [1, 2, 3, 4].map((unit) =>
      alarm('harbour', `rtu-${unit}`, START_MS, { kind: 'supply-loss', causes }),
    );
    expect(findStorms(search({ alarms }))).toEqual([]);
    expect(onlyStorm({ alarms, episodes: threeUnits }).units).toHaveLength(3);
  });

  it('takes in a unit that lost its fuses the day after', () => {
    const alarms = [
      alarm('harbour', 'rtu-7', START_MS + 20 * HOUR_MS, {
        kind: 'supply-loss',
        causes: [{ cause: 'disconnect-open-or-fuses-open', probability: 0.7, because: [] }],
      }),
    ];
    const { units } = onlyStorm({ alarms, episodes: threeUnits });
    expect(units.map(({ unit }) => unit)).toContain('rtu-7');
  });
});

describe('weather', () => {
  const one = [episode('harbour', 'rtu-1', START_MS)];
  const with_ = (change: Parameters<typeof quarters>[2]) =>
    findStorms(
      search({
        episodes: one,
        weather: [{ site: 'quay', quarters: quarters(START_MS - 4 * DAY_MS, 120, change) }],
      }),
    ).flatMap(({ severe }) => severe.map(({ kind }) => kind));
  const lately = (startMs: number): boolean => startMs >= START_MS - 5 * HOUR_MS;

  it('makes a storm of one unit that took in water', () => {
    expect(with_(() => ({}))).toEqual([]);
    expect(with_((at) => (lately(at) ? { rainMillimetres: 0.6 } : {}))).toEqual(['rain']);
    expect(with_((at) => (lately(at) ? { windMetresPerSecond: 18 } : {}))).toEqual(['wind']);
    expect(with_((at) => (lately(at) ? { snowMillimetres: 0.3 } : {}))).toEqual(['snow']);
  });

  it('counts a cloudburst of one hour, and rain that a strong breeze drives', () => {
    const burst = (at: number) =>
      at >= START_MS - HOUR_MS && at < START_MS ? { rainMillimetres: 2 } : {};
    expect(with_(burst)).toEqual(['rain']);
    const driven = (at: number) =>
      lately(at) ? { rainMillimetres: 0.15, windMetresPerSecond: 12 } : {};
    expect(with_(driven)).toEqual(['wind']);
  });

  it('counts a thaw after frost and snow, not a mild day without snow', () => {
    const frost = (snow: number) => (at: number) =>
      at < START_MS - 10 * HOUR_MS
        ? { lowestCelsius: -6, highestCelsius: -4, snowMillimetres: snow }
        : { lowestCelsius: 0, highestCelsius: 3 };
    expect(with_(frost(0.01))).toEqual(['melt']);
    expect(with_(frost(0))).toEqual([]);
  });

  it('is asked for around what was touched only', () => {
    const spans = weatherToAsk(search({ episodes: one }));
    expect(spans.map(({ site }) => site)).toEqual(['harbour', 'quay']);
    for (const { fromMs, toMs } of spans) {
      expect([fromMs, toMs]).toEqual([START_MS - 3 * DAY_MS, START_MS + DAY_MS]);
    }
  });
});

describe('regions', () => {
  it('join sites within 50 km, and those without coordinates', () => {
    const unplaced = ['u1', 'u2'].map((id) => ({
      id,
      name: id,
      latitudeDegrees: null,
      longitudeDegrees: null,
    }));
    const regions = regionsOf([...unplaced, ...SITES]);
    expect(regions.map(({ sites }) => sites.map(({ id }) => id))).toEqual([
      ['far'],
      ['harbour', 'quay'],
      ['u1', 'u2'],
    ]);
  });

  it('have storms of their own', () => {
    const far = [1, 2, 3].map((unit) => episode('far', `rtu-${unit}`, START_MS));
    const both = findStorms(search({ episodes: [...threeUnits, ...far] }));
    expect(both.map(({ region }) => region).sort()).toEqual(['far', 'harbour']);
  });
});

describe('the id of a storm', () => {
  it('names where and when it first touched, and reads back', () => {
    const { id } = onlyStorm({ episodes: threeUnits });
    expect(id).toBe('20260113T0500Z-harbour');
    expect(parseStormId(id)).toEqual({ atMs: START_MS + HOUR_MS, site: 'harbour' });
    for (const wrong of ['', 'x', '20260113T0507Z-harbour', '20261313T0500Z-harbour']) {
      expect(parseStormId(wrong)).toBeNull();
    }
  });

  it('still leads to the storm when late data move its start or join it with another', () => {
    const { id } = onlyStorm({ episodes: threeUnits });
    const anchor = parseStormId(id)!;
    const earlier = episode('quay', 'rtu-4', START_MS - 3 * HOUR_MS);
    const second = [4, 5, 6].map((unit) =>
      episode('harbour', `rtu-${unit}`, START_MS + 20 * HOUR_MS),
    );
    const bridge = episode('harbour', 'rtu-7', START_MS + 11 * HOUR_MS);
    const apart = findStorms(search({ episodes: [...threeUnits, ...second] }));
    expect(apart).toHaveLength(2);
    const joined = findStorms(search({ episodes: [...threeUnits, ...second, earlier, bridge] }));
    expect(joined).toHaveLength(1);
    expect(joined[0]!.id).not.toBe(id);
    for (const old of [anchor, parseStormId(apart[0]!.id)!]) {
      expect(stormOfAnchor(joined, 'harbour', old)).toBe(joined[0]);
    }
    expect(stormOfAnchor(apart, 'harbour', anchor)?.id).toBe(id);
    expect(stormOfAnchor(apart, 'far', anchor)).toBeNull();
    const longAgo = { ...anchor, atMs: anchor.atMs - 3 * DAY_MS };
    expect(stormOfAnchor(apart, 'harbour', longAgo)).toBeNull();
  });
});

describe('any storms', () => {
  const anyEpisode = fc
    .record({
      site: fc.constantFrom('harbour', 'quay'),
      unit: fc.integer({ min: 1, max: 8 }),
      at: fc.integer({ min: 0, max: 96 }),
      hours: fc.option(fc.integer({ min: 1, max: 40 })),
      source: fc.constantFrom('water-ingress', 'condensation', 'humid-weather' as const),
    })
    .map(({ site, unit, at, hours, source }) =>
      episode(site, `rtu-${unit}`, START_MS + at * HOUR_MS, { hours, source }),
    );
  const anyEpisodes = fc.uniqueArray(anyEpisode, {
    maxLength: 30,
    selector: ({ site, unit, episode: { startMs } }) => `${site}/${unit}/${startMs}`,
  });

  it('do not depend on the order in which episodes come', () => {
    fc.assert(
      fc.property(
        anyEpisodes.chain((list) =>
          fc.tuple(
            fc.constant(list),
            fc.shuffledSubarray(list, { minLength: list.length, maxLength: list.length }),
          ),
        ),
        ([list, shuffled]) => {
          expect(findStorms(search({ episodes: shuffled }))).toEqual(
            findStorms(search({ episodes: list })),
          );
        },
      ),
    );
  });

  it('are what they are whatever happens in another region', () => {
    fc.assert(
      fc.property(anyEpisodes, anyEpisodes, (here, there) => {
        const far = there.map((one) => ({ ...one, site: 'far' }));
        const all = findStorms(search({ episodes: [...here, ...far] }));
        expect(all.filter(({ region }) => region === 'harbour')).toEqual(
          findStorms(search({ episodes: here })),
        );
      }),
    );
  });

  it('keep every touch when one more unit takes in water late', () => {
    fc.assert(
      fc.property(anyEpisodes, anyEpisode, (list, late) => {
        const more = { ...late, unit: 'rtu-9' };
        const before = findStorms(search({ episodes: list }));
        const after = findStorms(search({ episodes: [...list, more] }));
        for (const storm of before) {
          const now = stormOfAnchor(after, storm.region, parseStormId(storm.id)!);
          expect(now).not.toBeNull();
          expect(now!.startMs).toBeLessThanOrEqual(storm.startMs);
          expect(now!.lastTouchMs).toBeGreaterThanOrEqual(storm.lastTouchMs);
          expect(now!.units).toEqual(expect.arrayContaining([...storm.units]));
        }
      }),
    );
  });

  it('are each within what is asked for, the same in a smaller part of time', () => {
    fc.assert(
      fc.property(anyEpisodes, fc.integer({ min: -2, max: 8 }), (episodes, day) => {
        const fromMs = START_MS + day * DAY_MS;
        const toMs = fromMs + DAY_MS;
        const all = findStorms(search({ episodes }));
        const part = findStorms(search({ episodes, fromMs, toMs }));
        expect(part).toEqual(
          all.filter(({ startMs, closesMs }) => startMs < toMs && closesMs > fromMs),
        );
      }),
    );
  });
});
