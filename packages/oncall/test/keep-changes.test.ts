import { keepChanges, parseRotaFile, withCalledOff, withChange } from '@lineside/oncall';
import { describe, expect, it } from 'vitest';
import { HARBOUR, harbourWith } from './rota-texts.ts';

const COVER = {
  id: 'c9',
  kind: 'cover',
  for: 'ana',
  by: 'cyd',
  from: '2026-02-04T18:00',
  to: '2026-02-05T06:00',
} as const;

function changeIds(rota: ReturnType<typeof harbourWith>): string[] {
  return rota.teams.flatMap(({ changes }) =>
    changes.map(({ id, calledOff }) => (calledOff ? `${id} off` : id)),
  );
}

describe('a rota file that takes the place of the stored rota', () => {
  it('keeps what people arranged meanwhile, after its own', () => {
    const stored = withChange(harbourWith(), 'north', COVER);
    const file = harbourWith(
      'id: c1, kind: cover, for: ben, by: dov, from: 2026-03-04T18:00, to: 2026-03-05T06:00',
    );
    const { rota, kept, dropped } = keepChanges(file, stored);
    expect(changeIds(rota)).toEqual(['c1', 'c9']);
    expect([kept, dropped]).toEqual([['c9'], []]);
  });

  it('lets what was called off stay called off, in the file as well', () => {
    const stored = withCalledOff(withChange(harbourWith(), 'north', COVER), 'north', 'c9');
    expect(changeIds(keepChanges(harbourWith(), stored).rota)).toEqual(['c9 off']);
    const file = withChange(harbourWith(), 'north', COVER);
    expect(changeIds(keepChanges(file, stored).rota)).toEqual(['c9 off']);
  });

  it('drops what names people or teams that are no more, and says so', () => {
    const stored = withChange(harbourWith(), 'north', { ...COVER, by: 'ben' });
    const gone = HARBOUR.replaceAll('north', 'harbour');
    const { rota, dropped } = keepChanges(parseRotaFile(gone, 'rota.yaml'), stored);
    expect([changeIds(rota), dropped]).toEqual([[], ['c9']]);
  });

  it('is what it was when nobody arranged anything', () => {
    expect(keepChanges(harbourWith(), harbourWith()).rota).toEqual(harbourWith());
  });
});
