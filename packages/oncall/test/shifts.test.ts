import { onCallAt, parseRotaFile, type Shift, shiftsBetween } from '@lineside/oncall';
import { describe, expect, it } from 'vitest';
import { at, HARBOUR, harbourWith, LEAST } from './rota-texts.ts';

/** `ana 02-02T12:00 to 02-09T12:00`, in UTC. */
function words({ person, fromMs, toMs }: Shift): string {
  const utc = (ms: number): string => new Date(ms).toISOString().slice(5, 16);
  return `${person ?? 'nobody'} ${utc(fromMs)} to ${utc(toMs)}`;
}

function first(rota: Parameters<typeof shiftsBetween>[0], from: string, to: string): string[] {
  return shiftsBetween(rota, 'north', 'first', at(from), at(to)).map(words);
}

describe('a rotation', () => {
  it('gives each person a turn, whole even where the window cuts it', () => {
    expect(first(harbourWith(), '2026-02-04T00:00Z', '2026-02-20T00:00Z')).toEqual([
      'ben 02-02T12:00 to 02-09T12:00',
      'cyd 02-09T12:00 to 02-16T12:00',
      'ana 02-16T12:00 to 02-23T12:00',
    ]);
  });

  it('hands over at the stated minute, not before it', () => {
    const rota = harbourWith();
    const handOver = at('2026-02-09T12:00Z');
    expect(onCallAt(rota, 'north', handOver - 1).first).toMatchObject({
      person: 'ben',
      toMs: handOver,
    });
    expect(onCallAt(rota, 'north', handOver).first).toMatchObject({
      person: 'cyd',
      fromMs: handOver,
    });
  });

  it('names the second call by an offset in the first', () => {
    const { first, second } = onCallAt(harbourWith(), 'north', at('2026-02-10T00:00Z'));
    expect([first.person, second?.person]).toEqual(['cyd', 'ana']);
  });

  it('names no second call where a team has none', () => {
    const rota = parseRotaFile(LEAST, 'rota.yaml');
    expect(onCallAt(rota, 'north', at('2026-02-10T00:00Z')).second).toBeNull();
    expect(shiftsBetween(rota, 'north', 'second', 0, 1)).toEqual([]);
  });

  it('may have a second call that hands over at its own time', () => {
    const rota = parseRotaFile(
      `${LEAST.replace('people:\n', 'people:\n  - { id: ben, name: Ben, contacts: [b] }\n')}` +
        '    second: [ { from: 2026-01-07, handOver: { weekday: wednesday, time: "12:00" }, ' +
        'people: [ben] } ]\n',
      'rota.yaml',
    );
    expect(onCallAt(rota, 'north', at('2026-01-08T00:00Z')).second).toMatchObject({
      person: 'ben',
      fromMs: at('2026-01-07T16:00Z'),
      toMs: at('2026-01-14T16:00Z'),
    });
  });

  it('states the gap before it begins, and its end', () => {
    const { first } = onCallAt(harbourWith(), 'north', at('2025-12-31T00:00Z'));
    expect(first).toMatchObject({
      person: null,
      gap: 'the rotation of the first call begins on 2026-01-05',
      toMs: at('2026-01-05T12:00Z'),
    });
  });

  it('holds until the next one begins, which may cut a turn short', () => {
    const next =
      '      - { from: 2026-02-05, handOver: { weekday: thursday, time: "12:00" }, people: [dov] }\n';
    const text = HARBOUR.replace('    second: {', `${next}    second: {`).replace(
      'people: [dov] }\n    second: { offset: 1 }',
      'people: [dov] }',
    );
    const rota = parseRotaFile(text, 'rota.yaml');
    expect(first(rota, '2026-02-03T00:00Z', '2026-02-06T00:00Z')).toEqual([
      'ben 02-02T12:00 to 02-05T16:00',
      'dov 02-05T16:00 to 02-12T16:00',
    ]);
  });

  it('states the gap when it has nobody', () => {
    const next =
      '      - { from: 2026-02-02, handOver: { weekday: monday, time: "08:00" }, people: [] }\n';
    const rota = parseRotaFile(LEAST + next, 'rota.yaml');
    expect(onCallAt(rota, 'north', at('2026-03-03T00:00Z')).first).toMatchObject({
      person: null,
      gap: 'the rotation from 2026-02-02 on has nobody',
    });
  });

  it('refuses a team it does not know and windows that are none', () => {
    const rota = harbourWith();
    expect(() => onCallAt(rota, 'west', 0)).toThrow('expected the id of a team (north, south)');
    expect(() => shiftsBetween(rota, 'north', 'first', 5, 5)).toThrow('expected a window');
    expect(() => shiftsBetween(rota, 'north', 'first', 0, Number.NaN)).toThrow('expected a window');
    expect(() => shiftsBetween(rota, 'north', 'first', 0, 1e12)).toThrow('expected a window');
  });
});

describe('a holiday', () => {
  it('takes its days out of the turns they lie in, as one shift', () => {
    // Good Friday to Easter Monday 2026, across the hand-over of Monday, April 6.
    expect(first(harbourWith(), '2026-03-31T00:00Z', '2026-04-10T00:00Z')).toEqual([
      'ana 03-30T11:00 to 04-03T11:00',
      'dov 04-03T11:00 to 04-07T11:00',
      'ben 04-07T11:00 to 04-13T11:00',
    ]);
  });

  it('has the same shift whichever part of it is asked for', () => {
    const rota = harbourWith();
    const wanted = ['dov 04-03T11:00 to 04-07T11:00'];
    expect(first(rota, '2026-04-03T12:00Z', '2026-04-03T13:00Z')).toEqual(wanted);
    expect(first(rota, '2026-04-07T10:00Z', '2026-04-07T11:00Z')).toEqual(wanted);
  });

  it('goes from one person to the next, and has its own second call', () => {
    const { first, second } = onCallAt(harbourWith(), 'north', at('2026-07-01T12:00Z'));
    expect([first.person, first.kind, second?.person]).toEqual(['ana', 'holiday', 'cyd']);
  });

  it('leaves the second call to the rotation where it states none', () => {
    const rota = parseRotaFile(HARBOUR.replace(', second: [cyd] }', ' }'), 'rota.yaml');
    const { second } = onCallAt(rota, 'north', at('2026-07-01T12:00Z'));
    expect([second?.person, second?.kind]).toEqual(['cyd', 'rotation']);
  });

  it('may find its second call by an offset', () => {
    const rota = parseRotaFile(HARBOUR.replace('second: [cyd] }', 'second: { offset: 1 } }'), 'r');
    expect(onCallAt(rota, 'north', at('2026-07-01T12:00Z')).second?.person).toBe('dov');
  });
});

describe('a cover', () => {
  it('takes a whole shift, which keeps its id and rises in revision', () => {
    const cover =
      'id: c1, kind: cover, for: ben, by: dov, from: 2026-02-02T08:00, to: 2026-02-09T08:00';
    const window = [at('2026-02-03T00:00Z'), at('2026-02-04T00:00Z')] as const;
    const [before] = shiftsBetween(harbourWith(), 'north', 'first', ...window);
    const [after] = shiftsBetween(harbourWith(cover), 'north', 'first', ...window);
    expect(before).toMatchObject({ person: 'ben', planned: 'ben', changes: [], revision: 0 });
    expect(after).toEqual({ ...before, person: 'dov', changes: ['c1'], revision: 1 });
  });

  it('takes part of a shift and leaves the rest', () => {
    const cover =
      'id: c1, kind: cover, for: ben, by: ana, from: 2026-02-04T18:00, to: 2026-02-05T06:00';
    const rota = harbourWith(cover);
    expect(first(rota, '2026-02-03T00:00Z', '2026-02-08T00:00Z')).toEqual([
      'ben 02-02T12:00 to 02-04T22:00',
      'ana 02-04T22:00 to 02-05T10:00',
      'ben 02-05T10:00 to 02-09T12:00',
    ]);
    const shifts = shiftsBetween(
      rota,
      'north',
      'first',
      at('2026-02-03T00:00Z'),
      at('2026-02-08T00:00Z'),
    );
    expect(shifts.map(({ id, revision }) => [id, revision])).toEqual([
      ['first-20260202T120000Z', 1],
      ['first-20260202T120000Z-20260204T220000Z', 1],
      ['first-20260202T120000Z-20260205T100000Z', 1],
    ]);
  });

  it('takes both calls over several shifts, and one call if it says so', () => {
    const days = 'from: 2026-01-05T08:00, to: 2026-01-26T08:00';
    const both = harbourWith(`id: c1, kind: cover, for: ben, by: dov, ${days}`);
    const one = harbourWith(`id: c1, kind: cover, call: second, for: ben, by: dov, ${days}`);
    const calls = (rota: typeof both, utc: string) => {
      const { first, second } = onCallAt(rota, 'north', at(utc));
      return [first.person, second?.person];
    };
    expect(calls(both, '2026-01-06T00:00Z')).toEqual(['ana', 'dov']);
    expect(calls(both, '2026-01-13T00:00Z')).toEqual(['dov', 'cyd']);
    expect(calls(one, '2026-01-06T00:00Z')).toEqual(['ana', 'dov']);
    expect(calls(one, '2026-01-13T00:00Z')).toEqual(['ben', 'cyd']);
  });

  it('may be covered in turn, in the order in which it was agreed', () => {
    const rota = harbourWith(
      'id: c1, kind: cover, for: ben, by: dov, from: 2026-02-02T08:00, to: 2026-02-09T08:00',
      'id: c2, kind: cover, for: dov, by: cyd, from: 2026-02-05T08:00, to: 2026-02-06T08:00',
    );
    const { first } = onCallAt(rota, 'north', at('2026-02-05T20:00Z'));
    expect(first).toMatchObject({
      person: 'cyd',
      planned: 'ben',
      changes: ['c1', 'c2'],
      revision: 2,
    });
  });

  it('that is called off leaves the shift as it was, in a higher revision', () => {
    const cover =
      'id: c1, kind: cover, for: ben, by: dov, from: 2026-02-04T08:00, to: 2026-02-05T08:00';
    const rota = harbourWith(`${cover}, calledOff: true`);
    const shifts = shiftsBetween(
      rota,
      'north',
      'first',
      at('2026-02-04T13:00Z'),
      at('2026-02-04T14:00Z'),
    );
    expect(shifts.map(words)).toEqual(['ben 02-02T12:00 to 02-09T12:00']);
    expect(shifts[0]?.revision).toBe(2);
  });
});

describe('a swap', () => {
  const SWAP =
    'id: s1, kind: swap, one: { person: ben, shift: 2026-02-02 }, ' +
    'other: { person: ana, shift: 2026-02-16 }';

  it('exchanges two shifts', () => {
    expect(first(harbourWith(SWAP), '2026-02-03T00:00Z', '2026-02-20T00:00Z')).toEqual([
      'ana 02-02T12:00 to 02-09T12:00',
      'cyd 02-09T12:00 to 02-16T12:00',
      'ben 02-16T12:00 to 02-23T12:00',
    ]);
  });

  it('gives away only what the person has', () => {
    const rota = harbourWith(
      'id: c1, kind: cover, for: ben, by: dov, from: 2026-02-07T08:00, to: 2026-02-08T08:00',
      SWAP,
    );
    expect(first(rota, '2026-02-03T00:00Z', '2026-02-09T00:00Z')).toEqual([
      'ana 02-02T12:00 to 02-07T12:00',
      'dov 02-07T12:00 to 02-08T12:00',
      'ana 02-08T12:00 to 02-09T12:00',
    ]);
  });

  it('leaves the second call alone', () => {
    const { second } = onCallAt(harbourWith(SWAP), 'north', at('2026-02-03T00:00Z'));
    expect(second?.person).toBe('cyd');
  });

  it('may be of a holiday', () => {
    const rota = harbourWith(
      'id: s1, kind: swap, one: { person: dov, shift: 2026-04-03 }, ' +
        'other: { person: cyd, shift: 2026-04-13 }',
    );
    expect(onCallAt(rota, 'north', at('2026-04-04T00:00Z')).first.person).toBe('cyd');
    expect(onCallAt(rota, 'north', at('2026-04-14T00:00Z')).first.person).toBe('dov');
  });

  it('applies to who has the shift by then', () => {
    const rota = harbourWith(
      SWAP,
      'id: s2, kind: swap, one: { person: ana, shift: 2026-02-02 }, ' +
        'other: { person: cyd, shift: 2026-02-09 }',
    );
    expect(first(rota, '2026-02-03T00:00Z', '2026-02-20T00:00Z')).toEqual([
      'cyd 02-02T12:00 to 02-09T12:00',
      'ana 02-09T12:00 to 02-16T12:00',
      'ben 02-16T12:00 to 02-23T12:00',
    ]);
  });
});
