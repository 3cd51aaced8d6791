import { NAME_MOST_CHARACTERS, resolveSenml, type SenmlResolution } from '@lineside/readings';
import { describe, expect, it } from 'vitest';

const NOW_MS = 1_768_003_200_500;

function resolve(...records: unknown[]): SenmlResolution {
  return resolveSenml(records, { receivedAtMs: NOW_MS });
}

function times(...records: unknown[]): readonly number[] {
  const resolution = resolve(...records);
  if (!resolution.ok) throw new Error(resolution.refusal.reason);
  return resolution.records.map((record) => record.timeSeconds);
}

function codeOf(...records: unknown[]): string | null {
  const resolution = resolve(...records);
  return resolution.ok ? null : resolution.refusal.code;
}

describe('times (RFC 8428 section 4.5.3)', () => {
  it('count from receipt below 2^28 s and are absolute from there on', () => {
    expect(times({ n: 'a', v: 1, t: 2 ** 28 - 1 })).toEqual([NOW_MS / 1000 + 2 ** 28 - 1]);
    expect(times({ n: 'a', v: 1, t: 2 ** 28 })).toEqual([2 ** 28]);
    // The RFC gives this instant as the smallest absolute one.
    expect(new Date(2 ** 28 * 1000).toISOString()).toBe('1978-07-04T21:24:16.000Z');
  });

  it('are base time plus time, each zero where it is missing', () => {
    expect(times({ n: 'a', v: 1 })).toEqual([NOW_MS / 1000]);
    expect(times({ bt: -10, n: 'a', v: 1, t: -5 })).toEqual([NOW_MS / 1000 - 15]);
    expect(times({ bt: 1.7e9, n: 'a', v: 1 }, { n: 'a', v: 1, t: 7 })).toEqual([1.7e9, 1.7e9 + 7]);
  });

  it('put records into order, oldest first', () => {
    expect(times({ n: 'a', v: 1, t: 0 }, { n: 'a', v: 1, t: -9 })[0]).toBe(NOW_MS / 1000 - 9);
  });
});

describe('base fields (RFC 8428 section 4.1)', () => {
  it('hold from the record that states them until stated anew', () => {
    const resolution = resolve(
      { n: 'a', v: 1 },
      { bn: 'x:', bu: 'A', n: 'a', v: 2 },
      { n: 'a', v: 3, u: 'V' },
      { bn: 'y:', n: 'a', v: 4 },
    );
    expect(resolution.ok && resolution.records.map((one) => [one.name, one.unit])).toEqual([
      ['a', null],
      ['x:a', 'A'],
      ['x:a', 'V'],
      ['y:a', 'A'],
    ]);
  });

  it('add base value and base sum', () => {
    const resolution = resolve({ bv: 20, bs: 100, n: 'a', v: 1.5, s: 3 }, { n: 'b' });
    expect(resolution.ok && resolution.records.map((one) => [one.value, one.sum])).toEqual([
      [21.5, 103],
      [20, 100],
    ]);
  });

  it('may stand alone in a record, which then is no measurement', () => {
    const resolution = resolve({ bver: 10 }, { bn: 'x:', bt: 1.7e9 }, { n: 'a', v: 1 });
    expect(resolution.ok && resolution.records.map((one) => one.name)).toEqual(['x:a']);
  });
});

describe('labels and versions', () => {
  it.each([1, 5, 10, 11, 26])('bver %d is taken', (bver) => {
    expect(codeOf({ bver, n: 'a', v: 1 })).toBeNull();
  });

  it.each([27, 42, 0, -1, 10.5, '10', null, true])('bver %j rejects the pack', (bver) => {
    expect(codeOf({ n: 'a', v: 1 }, { bver, n: 'a', v: 1 })).toBe('unsupported-version');
  });

  it('ignores unknown labels and rejects unknown ones that must be understood', () => {
    expect(codeOf({ n: 'a', v: 1, zz: { deep: [] }, _x: 1 })).toBeNull();
    expect(codeOf({ n: 'a', v: 1, zz_: 1 })).toBe('must-understand-label');
    expect(
      codeOf(
        new Map<unknown, unknown>([
          [0, 'a'],
          [2, 1],
          ['zz_', 1],
        ]),
      ),
    ).toBe('must-understand-label');
    expect(codeOf(JSON.parse('{"n":"a","v":1,"__proto__":{"v":2}}'))).toBe('must-understand-label');
  });

  it('ignores CBOR labels outside the table, whatever their type', () => {
    const odd = new Map<unknown, unknown>([
      [0, 'a'],
      [2, 1],
      [99, 1],
      [-7, 1],
      [1.5, 1],
      [[], 1],
    ]);
    expect(codeOf(odd)).toBeNull();
  });

  it('never takes inherited names for labels', () => {
    expect(codeOf({ n: 'a', v: 1, constructor: 1, toString: 2 })).toBeNull();
  });
});

describe('records (RFC 8428 section 4.2)', () => {
  it.each([
    ['null', null],
    ['a list', []],
    ['a number', 4],
    ['text', 'a'],
    ['two values', { n: 'a', v: 1, vs: 'x' }],
    ['no value', { n: 'a' }],
    ['nothing', {}],
    ['a null value', { n: 'a', v: null }],
    ['a text number', { n: 'a', v: '1' }],
    ['a number as name', { n: 1, v: 1 }],
    ['a number as boolean', { n: 'a', vb: 1 }],
    ['a list as time', { n: 'a', v: 1, t: [1] }],
    ['a number as data', { n: 'a', vd: 1 }],
  ])('with %s are malformed', (_, record) => {
    expect(codeOf(record)).toBe('malformed-record');
  });

  it('with a sum need no value', () => {
    expect(codeOf({ n: 'a', s: 4 })).toBeNull();
  });

  it.each(['', ':a', '-a', 'a b', 'a#', 'é', 'a\u0000'])('with the name %j are refused', (n) => {
    expect(codeOf({ n, v: 1 })).toBe('name-invalid');
  });

  it.each(['a', '0', 'Az09-:./_', 'urn:dev:x/y'])('with the name %j are taken', (n) => {
    expect(codeOf({ n, v: 1 })).toBeNull();
  });

  it('with a name beyond the limit are refused', () => {
    expect(codeOf({ n: 'a'.repeat(NAME_MOST_CHARACTERS), v: 1 })).toBeNull();
    expect(codeOf({ bn: 'a', n: 'a'.repeat(NAME_MOST_CHARACTERS), v: 1 })).toBe('name-invalid');
  });

  it('are named by their place', () => {
    const resolution = resolve({ n: 'a', v: 1 }, { n: 'b', v: null });
    expect(resolution.ok ? null : resolution.recordIndex).toBe(1);
  });
});
