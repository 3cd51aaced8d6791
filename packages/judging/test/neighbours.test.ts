import { alarmWithNeighbours, judgeHistory } from '@lineside/judging';
import type { Reading } from '@lineside/readings';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { inOrder, lived, lossesOf, type Stretch, unitsLike, words } from './observed-site.ts';

const GONE = 'disconnect-open-or-fuses-open';
const PAIR = unitsLike({ 'rtu-01': {}, 'rtu-02': {} });

function told(units: typeof PAIR, ...readings: readonly (readonly Reading[])[]): string[] {
  return lossesOf(units, inOrder(readings.flat())).map(words);
}

describe('a unit that loses power', () => {
  const dies: readonly Stretch[] = [
    [60, 'idle'],
    [120, 'dead'],
  ];

  it('alone is urgent within ten minutes: fuses or disconnect', () => {
    const other = lived('rtu-02', [[180, 'idle']]);
    expect(told(PAIR, lived('rtu-01', dies), other)).toEqual([`rtu-01 urgent 66 ${GONE}`]);
  });

  it('alone is urgent within ten minutes where nodes read every two minutes', () => {
    const other = lived('rtu-02', [[181, 'runs']], 2);
    const own = lived(
      'rtu-01',
      [
        [61, 'idle'],
        [120, 'dead'],
      ],
      2,
    );
    expect(told(PAIR, own, other)).toEqual([`rtu-01 urgent 68 ${GONE}`]);
  });

  it('with all others is routine, an outage', () => {
    const units = unitsLike({ 'rtu-01': {}, 'rtu-02': {}, 'rtu-03': {} });
    const others = ['rtu-02', 'rtu-03'].map((unit) => lived(unit, dies));
    expect(told(units, lived('rtu-01', dies), ...others)).toEqual(
      ['rtu-01', 'rtu-02', 'rtu-03'].map((unit) => `${unit} routine 66 utility-outage`),
    );
  });

  it('is in the same outage when clocks of nodes differ by two minutes', () => {
    const other = lived('rtu-02', [
      [62, 'idle'],
      [118, 'dead'],
    ]);
    expect(told(PAIR, lived('rtu-01', dies), other)).toEqual([
      'rtu-01 routine 66 utility-outage',
      'rtu-02 routine 68 utility-outage',
    ]);
  });

  it('was in an outage when the other node fell silent with it and is heard again', () => {
    const own: readonly Stretch[] = [
      [60, 'idle'],
      [40, 'dead'],
      [60, 'idle'],
    ];
    const other = lived('rtu-02', [
      [60, 'idle'],
      [40, 'silent'],
      [60, 'idle'],
    ]);
    expect(told(PAIR, lived('rtu-01', own), other)).toEqual(['rtu-01 routine 66 utility-outage']);
  });

  it('is not excused by a node that is not heard any more', () => {
    const other = lived('rtu-02', [
      [60, 'idle'],
      [120, 'silent'],
    ]);
    expect(told(PAIR, lived('rtu-01', dies), other)).toEqual([`rtu-01 urgent 66 ${GONE}`]);
  });

  it('is not excused by one that was dark before', () => {
    const before = lived('rtu-02', [
      [30, 'idle'],
      [150, 'dead'],
    ]);
    expect(told(PAIR, lived('rtu-01', dies), before)).toContain(`rtu-01 urgent 66 ${GONE}`);
  });

  it('is excused by one that stops without any idle current only until that runs again', () => {
    const cycles = lived(
      'rtu-02',
      Array.from({ length: 9 }, (_, turn): Stretch => [20, turn % 2 === 0 ? 'runs' : 'dead']),
    );
    expect(told(PAIR, lived('rtu-01', dies), cycles)).toEqual([
      `rtu-01 routine 66 utility-outage urgent 90 ${GONE}`,
    ]);
  });

  it('becomes urgent when the others have power again and it has not', () => {
    const other = lived('rtu-02', [
      [60, 'idle'],
      [90, 'dead'],
      [60, 'idle'],
    ]);
    const own = lived('rtu-01', [
      [60, 'idle'],
      [150, 'dead'],
    ]);
    expect(told(PAIR, own, other)).toEqual([
      `rtu-01 routine 66 utility-outage urgent 160 ${GONE}`,
      'rtu-02 routine 66 utility-outage',
    ]);
  });

  it('stays routine through an outage of two days', () => {
    const long: readonly Stretch[] = [
      [60, 'idle'],
      [2880, 'dead'],
      [60, 'idle'],
    ];
    expect(told(PAIR, lived('rtu-01', long), lived('rtu-02', long))).toEqual([
      'rtu-01 routine 66 utility-outage',
      'rtu-02 routine 66 utility-outage',
    ]);
  });

  it('has nobody to ask on a site of its own', () => {
    const [alone] = PAIR;
    if (alone === undefined) throw new Error('no unit');
    expect(told([alone], lived('rtu-01', dies))).toEqual([`rtu-01 urgent 66 ${GONE}`]);
  });
});

const stretch = fc.tuple(
  fc.integer({ min: 1, max: 90 }),
  fc.constantFrom('idle' as const, 'runs' as const, 'dead' as const, 'silent' as const),
);
const life = fc
  .array(stretch, { minLength: 1, maxLength: 6 })
  .map((rest): readonly Stretch[] => [[30, 'idle'], ...rest]);

describe('the judgement of units that have neighbours', () => {
  const units = unitsLike({ 'rtu-01': {}, 'rtu-02': { nodeSupply: 'unit-24v' }, 'rtu-03': {} });

  it('does not depend on the order among units within two minutes', () => {
    fc.assert(
      fc.property(
        fc.array(life, { minLength: 3, maxLength: 3 }),
        fc.infiniteStream(fc.nat(119_999)),
        (lives, delays) => {
          const readings = inOrder(lives.flatMap((one, index) => lived(`rtu-0${index + 1}`, one)));
          const delayOf = new Map(units.map(({ id }) => [id, delays.next().value ?? 0]));
          const other = readings.toSorted(
            (a, b) => a.atMs + (delayOf.get(a.unit) ?? 0) - b.atMs - (delayOf.get(b.unit) ?? 0),
          );
          expect(lossesOf(units, other)).toEqual(lossesOf(units, readings));
        },
      ),
      { numRuns: 60 },
    );
  });

  it('is what the history of each unit says beside the power of its neighbours', () => {
    fc.assert(
      fc.property(fc.array(life, { minLength: 3, maxLength: 3 }), (lives) => {
        const known = lives.map((one, index) => lived(`rtu-0${index + 1}`, one));
        const expected = lossesOf(units, inOrder(known.flat())).map(words);
        const histories = units.map((unit, index) =>
          judgeHistory({ unit, readings: known[index] ?? [], weather: [], services: [] }),
        );
        const power = histories.map(({ state }) => state.watch.power);
        const judged = histories.flatMap(({ alarms }, index) => {
          const [own] = power.slice(index, index + 1);
          if (own === undefined) return [];
          const others = power.filter((_, other) => other !== index);
          return alarms
            .filter(({ kind }) => kind === 'supply-loss')
            .map((alarm) => alarmWithNeighbours(alarm, own, others, null))
            .map((alarm) => words({ unit: alarm.unit, alarm }));
        });
        expect(judged.toSorted()).toEqual(expected.toSorted());
      }),
      { numRuns: 60 },
    );
  });
});

describe('an outage shorter than the wait', () => {
  it('is told of by nobody', () => {
    const blink: readonly Stretch[] = [
      [60, 'idle'],
      [5, 'dead'],
      [60, 'idle'],
    ];
    expect(told(PAIR, lived('rtu-01', blink), lived('rtu-02', blink))).toEqual([]);
  });
});
