import {
  type DecodedPack,
  decodePack,
  FUTURE_TOLERANCE_MS,
  PACK_MOST_BYTES,
  PACK_MOST_RECORDS,
} from '@lineside/readings';
import { Encoder } from 'cbor-x';
import { describe, expect, it } from 'vitest';

const NOW_MS = Date.UTC(2026, 0, 10, 4, 0, 0);
const OLDEST_MS = NOW_MS - 400 * 86_400_000;
/** RFC 8428 sets no limit; ours, base name and name joined. */
const NAME_MOST = 1024;
const CONTEXT = { receivedAtMs: NOW_MS, oldestAtMs: OLDEST_MS, weather: false };
const cborEncoder = new Encoder({ mapsAsObjects: false, useRecords: false });

function decodeText(text: string): DecodedPack {
  return decodePack(new TextEncoder().encode(text), CONTEXT);
}

function decode(...records: unknown[]): DecodedPack {
  return decodeText(JSON.stringify(records));
}

function leakAt(seconds: number, v = 0.0042): object {
  return { n: 'leak', u: 'A', v, t: seconds };
}

describe('the name of a channel behind a base name', () => {
  const named = (bn: string): DecodedPack => decode({ bn, n: 'rh', u: '%RH', v: 50 });

  it('is that channel where the base name ends in a separator, and another name elsewhere', () => {
    for (const bn of ['', 'x:', 'x/', 'x.y/z:']) {
      expect(named(bn).readings).toEqual([{ atMs: NOW_MS, channels: { rh: 50 } }]);
    }
    for (const bn of ['x', 'x:y', 'x-']) {
      expect(named(bn)).toMatchObject({ readings: [], refusal: null });
    }
  });

  it('is refused where the base name is wrong or makes it too long', () => {
    for (const bn of [':', ' x:', 'x y:', `${'x'.repeat(NAME_MOST - 2)}:`]) {
      expect(named(bn)).toMatchObject({ readings: [], refusal: { code: 'name-invalid' } });
    }
    expect(named(`${'x'.repeat(NAME_MOST - 3)}:`).readings).toHaveLength(1);
  });
});

describe('a pack', () => {
  it('becomes one reading per event time, oldest first', () => {
    const bt = NOW_MS / 1000 - 600;
    const pack = decode(
      { bn: 'harbour-mall/rtu-01:', bt, n: 'rh', u: '%RH', v: 71.2 },
      { n: 'leak', u: 'mA', v: 1.9, t: 60 },
      { n: 't', u: 'Cel', v: -3.1 },
      { n: 'rh', u: '%RH', v: 72, t: -60 },
    );
    expect(pack).toEqual({
      readings: [
        { atMs: NOW_MS - 660_000, channels: { rh: 72 } },
        { atMs: NOW_MS - 600_000, channels: { rh: 71.2, t: -3.1 } },
        { atMs: NOW_MS - 540_000, channels: { leak: 0.0019 } },
      ],
      refusal: null,
      refusedTimes: 0,
    });
  });

  it('takes mA with bver 26 and without', () => {
    for (const bver of [{}, { bver: 26 }]) {
      const pack = decode({ ...bver, n: 'leak', u: 'mA', v: 4.2 });
      expect(pack.readings[0]?.channels).toEqual({ leak: 0.0042 });
    }
  });

  it('without absolute time takes the time of receipt, relative times count from it', () => {
    expect(decode({ n: 'rh', u: '%RH', v: 50 }).readings[0]?.atMs).toBe(NOW_MS);
    expect(decode({ n: 'rh', u: '%RH', v: 50, t: -2.5 }).readings[0]?.atMs).toBe(NOW_MS - 2500);
  });

  it('rounds times to the millisecond and joins what meets there', () => {
    const seconds = NOW_MS / 1000 - 10;
    const pack = decode(
      { n: 'rh', u: '%RH', v: 50, t: seconds + 0.0004 },
      { n: 't', u: 'Cel', v: 5, t: seconds - 0.0004 },
    );
    expect(pack.readings).toEqual([{ atMs: NOW_MS - 10_000, channels: { rh: 50, t: 5 } }]);
  });

  it('keeps the first of two values for one channel and time', () => {
    expect(decode(leakAt(0, 0.001), leakAt(0, 0.002)).readings[0]?.channels.leak).toBe(0.001);
  });

  it.each(['rh', 'x:rh', 'a/b/rh', 'urn:dev:ow:1/2:rh'])('finds the channel in %s', (n) => {
    expect(decode({ n, u: '%RH', v: 50 }).readings[0]?.channels).toEqual({ rh: 50 });
  });

  it('finds channels under each base name in turn', () => {
    const pack = decode(
      { bn: 'x:r', n: 'h', u: '%RH', v: 50 },
      { bn: 'x:', n: 't', u: 'Cel', v: 5 },
      { n: 'h', u: 'Cel', v: 5 },
    );
    expect(pack.readings[0]?.channels).toEqual({ rh: 50, t: 5 });
    expect(pack.refusal).toBeNull();
  });

  it('may be empty and may hold unlisted names, which is no refusal', () => {
    const nothing = { readings: [], refusal: null, refusedTimes: 0 };
    expect(decode()).toEqual(nothing);
    expect(decodePack(Uint8Array.of(0x80), CONTEXT)).toEqual(nothing);
    expect(decodePack(Uint8Array.of(0x9f, 0xff), CONTEXT)).toEqual(nothing);
    expect(decode({ n: 'fan', u: 'x', v: 1e9, t: 9e99 }, { n: 'toString', v: 1 })).toEqual(nothing);
    expect(decode({ n: 'leak', s: 5 })).toEqual(nothing);
  });

  it('turns minus zero into zero', () => {
    expect(Object.is(decodeText('[{"n":"t","u":"Cel","v":-0}]').readings[0]?.channels.t, 0)).toBe(
      true,
    );
  });
});

describe('a record that does not fit', () => {
  it('is dropped alone, and the reason names it', () => {
    const pack = decode(
      { bn: 'x:', n: 'rh', u: '%RH', v: 50 },
      { n: 'leak', u: 'A', v: 12 },
      { n: 't', u: 'K', v: 280 },
      { n: 'tp', u: 'Cel', v: 4 },
    );
    expect(pack.readings).toEqual([{ atMs: NOW_MS, channels: { rh: 50, tp: 4 } }]);
    expect(pack.refusal).toEqual({
      code: 'unit-mismatch',
      reason:
        'unit does not fit the channel: record 3 "x:t", "K", expected Cel; ' +
        '2 of 4 records dropped (also 1 value is implausible)',
    });
  });

  it('is dropped when it has no unit, since 4.2 may be A or mA', () => {
    const { readings, refusal } = decode({ n: 'leak', v: 4.2 });
    expect(readings).toEqual([]);
    expect(refusal?.reason).toContain('no unit, expected A or mA');
  });

  it('is dropped when the value is text', () => {
    expect(decode({ n: 'rh', u: '%RH', vs: 'wet' }).refusal?.code).toBe('value-kind-mismatch');
  });

  it('is dropped when CBOR says NaN or infinity', () => {
    for (const value of [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]) {
      const record = new Map<number, unknown>([
        [0, 'leak'],
        [1, 'A'],
        [2, value],
      ]);
      const pack = decodePack(cborEncoder.encode([record]), CONTEXT);
      expect(pack.readings).toEqual([]);
      expect(pack.refusal?.code).toBe('value-implausible');
    }
  });

  it('does not keep a later, plausible value of the same channel and time away', () => {
    expect(decode(leakAt(0, 99), leakAt(0, 0.002)).readings[0]?.channels.leak).toBe(0.002);
  });
});

describe('a time out of range', () => {
  const ahead = FUTURE_TOLERANCE_MS / 1000;

  it('begins after five minutes ahead of receipt', () => {
    expect(decode(leakAt(ahead)).refusal).toBeNull();
    const pack = decode(leakAt(ahead + 0.001), leakAt(0));
    expect(pack.refusal?.code).toBe('time-out-of-range');
    expect(pack.refusal?.reason).toContain('2026-01-10T04:05:00.001Z');
    expect(pack.readings).toHaveLength(1);
  });

  it('begins before the oldest time that is kept', () => {
    expect(decode(leakAt(OLDEST_MS / 1000)).refusal).toBeNull();
    expect(decode(leakAt(OLDEST_MS / 1000 - 0.001)).refusal?.code).toBe('time-out-of-range');
  });

  it('counts once per distinct time, over listed channels only', () => {
    const pack = decode(leakAt(9000), { n: 'rh', u: '%RH', v: 50, t: 9000 }, leakAt(9001), {
      n: 'fan',
      v: 1,
      t: 9002,
    });
    expect(pack.refusedTimes).toBe(2);
    expect(pack.readings).toEqual([]);
  });

  it('includes what is no time at all', () => {
    for (const time of [Number.NaN, Number.POSITIVE_INFINITY, -1e300, 1e300]) {
      const record = new Map<number, unknown>([
        [0, 'leak'],
        [1, 'A'],
        [2, 1],
        [6, time],
      ]);
      const pack = decodePack(cborEncoder.encode([record]), CONTEXT);
      expect(pack.refusal?.code).toBe('time-out-of-range');
      expect(pack.refusedTimes).toBe(1);
    }
  });

  it('comes before other causes in the summary', () => {
    expect(decode(leakAt(0, 99), leakAt(9000)).refusal?.code).toBe('time-out-of-range');
  });
});

describe('a pack refused whole', () => {
  const good = { n: 'rh', u: '%RH', v: 50 };

  it.each([
    ['a label that must be understood', [good, { ...good, x_: 1 }], 'must-understand-label'],
    ['a newer version', [good, { ...good, bver: 27 }], 'unsupported-version'],
    ['a bad name', [good, { ...good, n: ' rh' }], 'name-invalid'],
    ['two values', [good, { ...good, vb: true }], 'malformed-record'],
    ['a null value', [good, { ...good, v: null }], 'malformed-record'],
    ['a record that is none', [good, 7], 'malformed-record'],
  ])('has %s', (_, records, code) => {
    const pack = decode(...records);
    expect(pack.readings).toEqual([]);
    expect(pack.refusal?.code).toBe(code);
    expect(pack.refusal?.reason).toContain('record 2');
  });

  it.each([
    ['[', 'malformed-json'],
    ['[{"n":"rh","u":"%RH","v":NaN}]', 'malformed-json'],
    ['[{"n":"rh","v":1}] x', 'malformed-json'],
    [' []', 'not-senml'],
    ['{"n":"rh"}', 'not-senml'],
    ['online', 'not-senml'],
    ['', 'not-senml'],
  ])('is %j', (text, code) => {
    expect(decodeText(text)).toMatchObject({ readings: [], refusal: { code }, refusedTimes: 0 });
  });

  it('is not UTF-8', () => {
    const payload = Uint8Array.of(0x5b, 0x22, 0xff, 0x22, 0x5d);
    expect(decodePack(payload, CONTEXT).refusal?.code).toBe('malformed-json');
  });

  it('has more than the most bytes', () => {
    const record = JSON.stringify(good);
    const padded = (length: number): string =>
      `[${record}${' '.repeat(length - record.length - 2)}]`;
    expect(decodeText(padded(PACK_MOST_BYTES)).refusal).toBeNull();
    expect(decodeText(padded(PACK_MOST_BYTES + 1)).refusal?.code).toBe('pack-too-large');
  });

  it('has more than the most records', () => {
    const records = (count: number): string => `[${Array(count).fill('{"bv":0}').join(',')}]`;
    expect(decodeText(records(PACK_MOST_RECORDS)).refusal).toBeNull();
    expect(decodeText(records(PACK_MOST_RECORDS + 1)).refusal?.code).toBe('too-many-records');
  });

  it('never changes what objects inherit', () => {
    decodeText('[{"n":"__proto__","u":"A","v":1},{"n":"x:constructor","v":1}]');
    decodeText('[{"__proto__":{"leak":1},"n":"leak","u":"A","v":1}]');
    expect(({} as Record<string, unknown>)['leak']).toBeUndefined();
  });
});
