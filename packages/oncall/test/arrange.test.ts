import { onCallAt, parseRota, parseRotaFile, withCalledOff, withChange } from '@lineside/oncall';
import { WrittenFileError } from '@lineside/written-file';
import { describe, expect, it } from 'vitest';
import { at, HARBOUR, harbourWith } from './rota-texts.ts';

const COVER = {
  id: 'c1',
  kind: 'cover',
  for: 'ben',
  by: 'dov',
  from: '2026-02-04T08:00',
  to: '2026-02-05T08:00',
} as const;

const DURING = at('2026-02-04T20:00Z');

describe('a cover that people arrange', () => {
  it('holds from then on, and the rota before it is as it was', () => {
    const before = harbourWith();
    const after = withChange(before, 'north', COVER);
    expect(onCallAt(after, 'north', DURING).first.person).toBe('dov');
    expect(onCallAt(before, 'north', DURING).first.person).toBe('ben');
    expect(after).toEqual(
      harbourWith(
        'id: c1, kind: cover, for: ben, by: dov, from: 2026-02-04T08:00, to: 2026-02-05T08:00',
      ),
    );
  });

  it('may be called off, and stays in the list', () => {
    const rota = withCalledOff(withChange(harbourWith(), 'north', COVER), 'north', 'c1');
    expect(onCallAt(rota, 'north', DURING).first).toMatchObject({ person: 'ben', revision: 2 });
    expect(rota.teams[0]?.changes).toHaveLength(1);
  });

  it('may be a swap', () => {
    const rota = withChange(harbourWith(), 'north', {
      id: 's1',
      kind: 'swap',
      one: { person: 'ben', shift: '2026-02-02' },
      other: { person: 'cyd', shift: '2026-02-09' },
    });
    expect(onCallAt(rota, 'north', DURING).first.person).toBe('cyd');
  });

  it('is refused with its place when it cannot be', () => {
    const again = () => withChange(withChange(harbourWith(), 'north', COVER), 'north', COVER);
    expect(again).toThrow(WrittenFileError);
    expect(again).toThrow(
      'the rota with this change: teams[0].changes[1].id: expected an id that is used once, ' +
        'found c1 again',
    );
    expect(() => withChange(harbourWith(), 'north', { ...COVER, by: 'eve' })).toThrow(
      'teams[0].changes[0].by: expected the id of one of the people, found eve',
    );
    expect(() => withChange(harbourWith(), 'west', COVER)).toThrow('found west');
  });

  it('cannot be called off twice, nor when there is none', () => {
    const off = withCalledOff(withChange(harbourWith(), 'north', COVER), 'north', 'c1');
    expect(() => withCalledOff(off, 'north', 'c1')).toThrow('is called off already');
    expect(() => withCalledOff(off, 'north', 'c2')).toThrow('expected the id of a change');
  });
});

describe('a rota that was kept as JSON', () => {
  it('is read as it was', () => {
    const rota = parseRotaFile(HARBOUR, 'rota.yaml');
    expect(parseRota(JSON.parse(JSON.stringify(rota)), 'the stored rota')).toEqual(rota);
  });

  it('is refused with its place when it is none', () => {
    expect(() => parseRota({ ...harbourWith(), people: [] }, 'the stored rota')).toThrow(
      'the stored rota: people: expected a list of 1 to 1000 people, found a list of 0',
    );
  });
});
