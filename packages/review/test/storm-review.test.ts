import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type ReviewInputs, stormCsv, stormReview, type UnitReview } from '../src/index.ts';
import {
  alarm,
  episode,
  HOUR_MS,
  onlyStorm,
  quarters,
  reviewUnit,
  START_MS,
  UNITS,
} from './invented.ts';

const EPISODES = [
  episode('harbour', 'rtu-1', START_MS, { wetHours: 2 }),
  episode('harbour', 'rtu-2', START_MS + HOUR_MS, { wetHours: 9, hours: 14 }),
  episode('harbour', 'rtu-3', START_MS + 2 * HOUR_MS, { source: 'condensation', wetHours: 5 }),
  episode('harbour', 'rtu-4', START_MS + 3 * HOUR_MS, { hours: null }),
  episode('harbour', 'rtu-5', START_MS + 3 * HOUR_MS, { source: 'humid-weather' }),
];
const ALARMS = [
  alarm('harbour', 'rtu-1', START_MS + 4 * HOUR_MS, {
    acknowledgedAtMs: START_MS + 4.5 * HOUR_MS,
    acknowledgedBy: 'ada',
  }),
  alarm('harbour', 'rtu-3', START_MS + 5 * HOUR_MS, {
    kind: 'supply-loss',
    priority: 'emergency',
    causes: [{ cause: 'disconnect-open-or-fuses-open', probability: 0.7, because: [] }],
  }),
];
const place = { site: 'harbour', unit: 'rtu-3' };
const INPUTS: ReviewInputs = {
  units: UNITS.map(({ site, unit }) => reviewUnit(site, unit)),
  episodes: EPISODES,
  alarms: ALARMS,
  service: [
    { ...place, atMs: START_MS + 8 * HOUR_MS, action: 'fuses-replaced', phases: ['c', 'a'] },
    { ...place, atMs: START_MS - HOUR_MS, action: 'cleaned', phases: null },
  ],
  leakage: [
    {
      site: 'harbour',
      unit: 'rtu-2',
      highestMilliamps: 7.5,
      highestMomentMilliamps: 12,
      lowestBeforeMilliamps: 0.5,
    },
  ],
  weather: [{ site: 'quay', quarters: quarters(START_MS - 24 * HOUR_MS, 48) }],
};
const STORM = onlyStorm({ episodes: EPISODES, alarms: ALARMS });
const REVIEW = stormReview(STORM, INPUTS);
const unitOf = (unit: string): UnitReview => REVIEW.units.find((one) => one.unit === unit)!;

describe('the review of a storm', () => {
  it('orders units by harm: fuses, alarms, leakage, water, wet hours', () => {
    expect(REVIEW.units.map(({ unit }) => unit)).toEqual(['rtu-3', 'rtu-1', 'rtu-2', 'rtu-4']);
    expect(REVIEW.dampUnits).toBe(1);
  });

  it('tells of each unit what the storm did to it', () => {
    expect(unitOf('rtu-2')).toMatchObject({
      wetHours: 9,
      source: 'water-ingress',
      dryingHours: 13,
      isWet: false,
      peakMilliamps: 7.5,
      highestMomentMilliamps: 12,
      usualMilliamps: 1,
      usualBasis: 'learned-dry-day',
      excessMilliamps: 6.5,
    });
    expect(unitOf('rtu-4')).toMatchObject({
      isWet: true,
      dryingHours: null,
      excessMilliamps: null,
    });
    expect(unitOf('rtu-1')).toMatchObject({ minutesToAcknowledge: 30, unacknowledged: 0 });
    expect(unitOf('rtu-3')).toMatchObject({
      fuses: { replaced: 2, phases: ['a', 'c'], suspected: true },
      highestPriority: 'emergency',
      unacknowledged: 1,
    });
  });

  it('measures against the lowest before while a dry day is not learned', () => {
    const units = INPUTS.units.map((unit) => ({ ...unit, learnedDryMilliamps: null }));
    const [two] = stormReview(STORM, { ...INPUTS, units }).units.filter(
      ({ unit }) => unit === 'rtu-2',
    );
    expect(two).toMatchObject({ usualBasis: 'lowest-of-three-days-before', excessMilliamps: 7 });
  });

  it('sends people by harm, with the fuses of the nameplate, and nobody for dampness', () => {
    const { visit } = unitOf('rtu-3');
    expect(visit.turn).toBe('first');
    expect(visit.bring).toContain('Fuses class J, 60 A, three plus three');
    expect(visit.steps.join(' ')).toMatch(/do not just clean.*same class, never larger/);
    expect(unitOf('rtu-2').visit).toMatchObject({ turn: 'soon' });
    expect(unitOf('rtu-2').visit.steps.join(' ')).toContain('neutral-cure sealant');
    const onlyWet = onlyStorm({
      episodes: [1, 2, 3].map((unit) =>
        episode('harbour', `rtu-${unit}`, START_MS, { source: 'condensation' }),
      ),
    });
    const review = stormReview(onlyWet, {
      ...INPUTS,
      episodes: [episode('harbour', 'rtu-1', START_MS, { source: 'condensation' })],
      alarms: [],
      service: [],
      leakage: [],
    });
    expect(review.units.map(({ visit: one }) => one.turn)).toEqual(['none', 'none', 'none']);
    expect(review.bag).toEqual([]);
  });

  it('tells it in order of time, without what was before', () => {
    const { lines, leftOut } = REVIEW.timeline;
    expect(leftOut).toBe(0);
    expect(lines.map(({ atMs }) => atMs)).toEqual(
      lines.map(({ atMs }) => atMs).toSorted((one, other) => one - other),
    );
    expect(lines.map(({ words }) => words)).toContain('fuses replaced (c, a)');
    expect(lines.map(({ words }) => words)).not.toContain('cleaned');
    expect(lines.filter(({ kind }) => kind === 'acknowledged')).toHaveLength(1);
  });

  it('says what to load for all visits', () => {
    const fuses = REVIEW.bag.find(({ thing }) => thing.startsWith('Fuses'));
    expect(fuses?.units.map(({ unit }) => unit)).toEqual(['rtu-3', 'rtu-1']);
  });

  it('says in its head line how many, and who is worst', () => {
    expect(REVIEW.headline).toBe(
      '4 units touched within 4 hours, water got into 3, 2 alarms and fuses lost in 1. ' +
        'Most harmed: RTU-3.',
    );
  });

  it('adds weather up by the hour', () => {
    const wet = quarters(START_MS, 2, () => ({ rainMillimetres: 0.5 }));
    const weather = [{ site: 'quay', quarters: wet }];
    const storm = onlyStorm({ episodes: EPISODES, weather });
    expect(storm.weather).toMatchObject({ site: 'quay', rainMillimetres: 4 });
    const { weatherHours } = stormReview(storm, { ...INPUTS, weather });
    expect(weatherHours?.hours.map(({ rainMillimetres }) => rainMillimetres)).toEqual([2, 2]);
  });

  it('does not depend on the order of what it is made of', () => {
    const shuffled = <T>(list: readonly T[]): fc.Arbitrary<T[]> =>
      fc.shuffledSubarray([...list], { minLength: list.length, maxLength: list.length });
    const inputs = fc.record({
      units: shuffled(INPUTS.units),
      episodes: shuffled(INPUTS.episodes),
      alarms: shuffled(INPUTS.alarms),
      service: shuffled(INPUTS.service),
      leakage: shuffled(INPUTS.leakage),
      weather: shuffled(INPUTS.weather),
    });
    fc.assert(
      fc.property(inputs, (given) => {
        expect(stormReview(STORM, given)).toEqual(REVIEW);
      }),
    );
  });

  it('is sorted by harm whatever the leakage was', () => {
    const leak = fc.option(fc.double({ min: 0, max: 90, noNaN: true }));
    fc.assert(
      fc.property(fc.array(leak, { minLength: 4, maxLength: 4 }), (values) => {
        const leakage = values.map((highestMilliamps, index) => ({
          site: 'harbour',
          unit: `rtu-${index + 1}`,
          highestMilliamps,
          highestMomentMilliamps: null,
          lowestBeforeMilliamps: null,
        }));
        const { units } = stormReview(STORM, { ...INPUTS, alarms: [], service: [], leakage });
        const excess = units.map((unit) => unit.excessMilliamps ?? 0);
        expect(excess).toEqual(excess.toSorted((one, other) => other - one));
      }),
    );
  });
});

describe('a review as CSV', () => {
  it('has a line a unit in order of harm, and no cell that runs as a formula', () => {
    const units = INPUTS.units.map((unit) => ({ ...unit, name: '=1+1, "roof"' }));
    const lines = stormCsv(stormReview(STORM, { ...INPUTS, units })).split('\r\n');
    expect(lines).toHaveLength(REVIEW.units.length + 2);
    expect(lines.at(-1)).toBe('');
    expect(lines[0]).toMatch(/^order,site,unit,name,source,/);
    expect(lines[1]).toMatch(/^1,harbour,rtu-3,"'=1\+1, ""roof""",condensation,/);
    expect(lines[1]).toContain('"2 replaced (a, c)"');
  });
});
