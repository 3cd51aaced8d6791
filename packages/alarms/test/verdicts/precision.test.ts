import type { FindingKind } from '@lineside/anomaly';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type CountedVerdict, precisionRows } from '../../src/index.ts';

function alarm(id: string, kind: FindingKind = 'leakage', site = 'mill', withdrawn = false) {
  return { id, kind, site, withdrawn };
}

function verdict(
  alarmId: string,
  word: CountedVerdict['verdict'],
  atMs = 0,
  by = 'rosa',
): CountedVerdict {
  return { alarmId, verdict: word, atMs, by };
}

describe('measured precision', () => {
  it('is the share of the true ones, unclear and unjudged ones apart, with its interval', () => {
    const alarms = Array.from({ length: 12 }, (_, at) => alarm(`a${at}`));
    const said = [
      ...[0, 1, 2, 3, 4, 5, 6, 7].map((at) => verdict(`a${at}`, 'true')),
      ...[8, 9].map((at) => verdict(`a${at}`, 'false')),
      verdict('a10', 'unclear'),
    ];
    const [all, leakage] = precisionRows(alarms, said, 'kind');
    expect(all).toMatchObject({ name: null, true: 8, false: 2, unclear: 1, withoutVerdict: 1 });
    expect(leakage).toEqual({ ...all, name: 'leakage' });
    expect(all?.share).toBe(0.8);
    // Wilson (1927) for 8 of 10 at 95 %, computed by hand: (9.920729 -+ 3.136166) / 13.841459.
    expect(all?.shareLow).toBeCloseTo(0.490162, 4);
    expect(all?.shareHigh).toBeCloseTo(0.943318, 4);
  });

  it('is told by kind or by site, in order of name', () => {
    const alarms = [alarm('a', 'silent', 'mill'), alarm('b', 'leakage', 'quay')];
    const said = [verdict('a', 'true'), verdict('b', 'false')];
    const namesBy = (by: 'kind' | 'site') =>
      precisionRows(alarms, said, by).map(({ name, share }) => [name, share]);
    expect(namesBy('kind')).toEqual([
      [null, 0.5],
      ['leakage', 0],
      ['silent', 1],
    ]);
    expect(namesBy('site')).toEqual([
      [null, 0.5],
      ['mill', 1],
      ['quay', 0],
    ]);
  });

  it('has no share where nobody judged, and says that nothing is known', () => {
    const [all] = precisionRows([alarm('a')], [verdict('of another alarm', 'true')], 'kind');
    expect(all).toMatchObject({ share: null, shareLow: 0, shareHigh: 1, withoutVerdict: 1 });
    expect(precisionRows([], [], 'site')).toHaveLength(1);
  });

  it('counts withdrawn alarms only with a verdict', () => {
    const alarms = ['a', 'b'].map((id) => alarm(id, 'leakage', 'mill', true));
    const [all] = precisionRows(alarms, [verdict('b', 'false')], 'kind');
    expect(all).toMatchObject({ false: 1, withoutVerdict: 0 });
  });

  it('goes by the newest verdict of an alarm, whatever their order', () => {
    const words = fc.constantFrom('true' as const, 'false' as const, 'unclear' as const);
    const verdicts = fc.uniqueArray(
      fc.record({ atMs: fc.nat({ max: 3 }), by: fc.constantFrom('ana', 'emil', 'rosa'), words }),
      { selector: ({ atMs, by }) => `${atMs} ${by}`, minLength: 1, maxLength: 8 },
    );
    fc.assert(
      fc.property(verdicts, (list) => {
        const said = list.map((one) => verdict('a', one.words, one.atMs, one.by));
        const inOrder = [...said].sort((a, b) => a.atMs - b.atMs || (a.by < b.by ? -1 : 1));
        const [all] = precisionRows([alarm('a')], said, 'kind');
        expect(all?.[inOrder.at(-1)?.verdict ?? 'unclear']).toBe(1);
        expect(precisionRows([alarm('a')], inOrder, 'kind')[0]).toEqual(all);
      }),
    );
  });
});
