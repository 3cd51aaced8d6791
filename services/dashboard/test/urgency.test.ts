import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Alarm, Unit } from '../src/api/types.ts';
import { grouped, inOrderOfNeed, isNews, matching } from '../src/order/urgency.ts';
import { anAlarm, aUnit, CONDITION } from './invented.ts';

const unitCalled = (unit: string, margin: number | null = 6): Unit =>
  aUnit({ unit, name: unit, condition: { ...CONDITION, dewPointMarginKelvin: margin } });

const namesOf = (units: readonly Unit[], alarms: readonly Alarm[]): readonly string[] =>
  inOrderOfNeed(units, alarms).map(({ unit, need }) => `${unit.unit} ${need}`);

describe('the order of the list', () => {
  it('is emergency, urgent, routine, returned, shelved, wetting, then the rest', () => {
    const wet = { since: CONDITION.time, source: 'condensation' } as const;
    const units = [
      unitCalled('quiet'),
      aUnit({ unit: 'wet', condition: { ...CONDITION, wetting: wet } }),
      ...['shelved', 'returned', 'routine', 'urgent', 'emergency'].map((name) => unitCalled(name)),
      aUnit({ unit: 'new', lastReading: null, condition: null }),
    ];
    const alarms = [
      anAlarm({ id: '1', unit: 'shelved', state: 'shelved', priority: 'emergency' }),
      anAlarm({
        id: '2',
        unit: 'returned',
        state: 'returned-unacknowledged',
        standing: false,
        cleared: '2026-01-10T05:00:00Z',
      }),
      anAlarm({ id: '3', unit: 'routine', priority: 'routine' }),
      anAlarm({ id: '4', unit: 'urgent' }),
      anAlarm({ id: '5', unit: 'emergency', priority: 'emergency' }),
    ];
    expect(namesOf(units, alarms)).toEqual([
      'emergency emergency',
      'urgent urgent',
      'routine routine',
      'returned returned',
      'shelved shelved',
      'wet wetting',
      'quiet quiet',
      'new no-readings',
    ]);
  });

  it('puts what nobody has acknowledged before what somebody has', () => {
    const alarms = [
      anAlarm({ id: '1', unit: 'a', state: 'acknowledged', acknowledged: '2026-01-10T05:00:00Z' }),
      anAlarm({ id: '2', unit: 'b' }),
    ];
    expect(namesOf([unitCalled('a'), unitCalled('b')], alarms)).toEqual(['b urgent', 'a urgent']);
  });

  it('goes by the most pressing of several alarms', () => {
    const alarms = [
      anAlarm({ id: '1', unit: 'a', priority: 'routine' }),
      anAlarm({ id: '2', unit: 'a', kind: 'phase-loss', priority: 'emergency' }),
    ];
    const [entry] = inOrderOfNeed([unitCalled('a')], alarms);
    expect(entry?.need).toBe('emergency');
    expect(entry?.alarms.map(({ id }) => id)).toEqual(['2', '1']);
  });

  it('goes by dew-point margin in whole kelvin, unknown last, and then by name', () => {
    const units = [
      unitCalled('rtu-10', 3.2),
      unitCalled('rtu-9', 3.9),
      unitCalled('none', null),
      unitCalled('damp', -0.4),
    ];
    expect(namesOf(units, []).map((name) => name.split(' ')[0])).toEqual([
      'damp',
      'rtu-9',
      'rtu-10',
      'none',
    ]);
  });

  it('leaves out retired units and alarms that are back to normal', () => {
    const units = [aUnit({ unit: 'gone', retired: true }), unitCalled('a')];
    expect(namesOf(units, [anAlarm({ unit: 'a', state: 'normal' })])).toEqual(['a quiet']);
  });

  it('does not depend on the order in which units and alarms came', () => {
    const units = Array.from({ length: 8 }, (_, index) => unitCalled(`rtu-${index}`, index % 3));
    const alarms = [
      anAlarm({ id: '1', unit: 'rtu-3' }),
      anAlarm({ id: '2', unit: 'rtu-5', priority: 'emergency' }),
      anAlarm({ id: '3', unit: 'rtu-3', kind: 'moisture', priority: 'routine' }),
    ];
    const expected = namesOf(units, alarms);
    const shuffled = <T>(items: readonly T[]): fc.Arbitrary<T[]> =>
      fc.shuffledSubarray([...items], { minLength: items.length });
    fc.assert(
      fc.property(shuffled(units), shuffled(alarms), (someUnits, someAlarms) => {
        expect(namesOf(someUnits, someAlarms)).toEqual(expected);
      }),
    );
  });
});

describe('groups and finding', () => {
  const units = [
    aUnit({ site: 'b', siteName: 'B', unit: '1' }),
    aUnit({ site: 'a', siteName: 'A', unit: '2' }),
    aUnit({ site: 'b', siteName: 'B', unit: '3' }),
  ];
  const entries = inOrderOfNeed(units, [anAlarm({ site: 'b', unit: '3' })]);

  it('keep each site together, the neediest first', () => {
    const sites = grouped(entries, 'site');
    expect(sites.map(({ heading }) => heading)).toEqual(['B', 'A']);
    expect(sites[0]?.entries.map(({ unit }) => unit.unit)).toEqual(['3', '1']);
  });

  it('find units by every word of their own and their site’s name', () => {
    expect(matching(entries, 'FOOD rtu').length).toBe(3);
    expect(matching(entries, 'food a').map(({ unit }) => unit.site)).toEqual(['a']);
    expect(matching(entries, 'nowhere')).toEqual([]);
    expect(matching(entries, ' ')).toBe(entries);
  });
});

describe('news of an alarm', () => {
  const routine = anAlarm({ priority: 'routine' });
  const urgent = anAlarm({ priority: 'urgent' });

  it('is announced when it is new or rose, not when it turns out to be less', () => {
    expect(isNews(undefined, routine)).toBe(true);
    expect(isNews(routine, urgent)).toBe(true);
    expect(isNews(urgent, urgent)).toBe(false);
    expect(isNews(urgent, routine)).toBe(false);
  });

  it('is not announced when it is over, or somebody knows of it', () => {
    for (const state of ['normal', 'acknowledged', 'shelved'] as const) {
      expect(isNews(undefined, { ...urgent, state })).toBe(false);
    }
    const over = { ...urgent, state: 'returned-unacknowledged', standing: false } as const;
    expect(isNews(routine, over)).toBe(false);
  });
});
