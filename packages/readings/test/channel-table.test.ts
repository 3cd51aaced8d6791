import {
  amperesFromMilliamperes,
  CHANNELS,
  type Channel,
  channelNamed,
  decodePack,
  isPlausible,
  sentBy,
  toChannelUnit,
} from '@lineside/readings';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

const NOW_MS = Date.UTC(2026, 0, 10);

function decodeOne(record: object, weather: boolean): ReturnType<typeof decodePack> {
  const payload = new TextEncoder().encode(JSON.stringify([record]));
  return decodePack(payload, { receivedAtMs: NOW_MS, oldestAtMs: 0, weather });
}

const AGREED: readonly (readonly [string, string | null, number, number])[] = [
  ['rh', '%RH', 0, 100],
  ['t', 'Cel', -60, 110],
  ['tp', 'Cel', -60, 110],
  ['leak', 'A', 0, 10],
  ['ia', 'A', 0, 2000],
  ['ib', 'A', 0, 2000],
  ['ic', 'A', 0, 2000],
  ['vab', 'V', 0, 1000],
  ['vbc', 'V', 0, 1000],
  ['vca', 'V', 0, 1000],
  ['leakr', 'A', 0, 10],
  ['leakmax', 'A', 0, 100],
  ['bursts', 'count', 0, 1e6],
  ['van', 'V', 0, 1000],
  ['vbn', 'V', 0, 1000],
  ['vcn', 'V', 0, 1000],
  ['batt', 'V', 0, 60],
];

describe('channels of a unit', () => {
  it.each(AGREED)('%s takes %s from %d to %d and nothing beyond', (name, unit, lowest, highest) => {
    for (const v of [lowest, highest]) {
      const { readings, refusal } = decodeOne({ n: name, u: unit, v }, false);
      expect(readings).toEqual([{ atMs: NOW_MS, channels: { [name]: v } }]);
      expect(refusal).toBeNull();
    }
    for (const v of [lowest - 0.001, highest + 0.001]) {
      const { readings, refusal } = decodeOne({ n: name, u: unit, v }, false);
      expect(readings).toEqual([]);
      expect(refusal?.code).toBe('value-implausible');
    }
  });

  it.each(['leak', 'leakr', 'leakmax', 'ia', 'ib', 'ic'])('%s takes mA, exactly', (name) => {
    const { readings } = decodeOne({ n: name, u: 'mA', v: 4.2 }, false);
    expect(readings[0]?.channels).toEqual({ [name]: 0.0042 });
  });

  it('door is a boolean, stored as 0 or 1', () => {
    expect(decodeOne({ n: 'door', vb: true }, false).readings[0]?.channels).toEqual({ door: 1 });
    expect(decodeOne({ n: 'door', vb: false }, false).readings[0]?.channels).toEqual({ door: 0 });
    expect(decodeOne({ bu: 'A', n: 'door', vb: true }, false).refusal).toBeNull();
    expect(decodeOne({ n: 'door', v: 1 }, false).refusal?.code).toBe('value-kind-mismatch');
  });
});

describe('channels of an outdoor station', () => {
  it.each([
    ['rh', '%RH', 80],
    ['t', 'Cel', -20],
    ['wind', 'm/s', 12],
    ['winddir', 'deg', 359],
    ['rain', 'mm', 4.2],
    ['snow', 'mm', 1],
    ['p', 'Pa', 101_325],
  ])('%s in %s is taken', (n, u, v) => {
    expect(decodeOne({ n, u, v }, true).readings[0]?.channels).toEqual({ [n]: v });
  });

  it('are not those of a unit, and the other way round', () => {
    for (const channel of CHANNELS) {
      if (channel.sender === 'both') continue;
      const value = channel.kind === 'boolean' ? { vb: true } : { u: channel.unit, v: 50_000 };
      const other = decodeOne({ n: channel.name, ...value }, channel.sender === 'unit');
      expect(other).toEqual({ readings: [], refusal: null, refusedTimes: 0 });
    }
  });
});

describe('the table', () => {
  const leak: Channel = channelNamed('leak')!;

  it('finds no channel in names that objects inherit', () => {
    expect(channelNamed('constructor')).toBeNull();
    expect(channelNamed('__proto__')).toBeNull();
  });

  it('converts what fits, and nothing without a unit', () => {
    expect(toChannelUnit(leak, 4.2, 'A')).toBe(4.2);
    expect(toChannelUnit(leak, 4.2, 'mA')).toBe(0.0042);
    expect(toChannelUnit(leak, 4.2, 'V')).toBeNull();
    expect(toChannelUnit(leak, 4.2, null)).toBeNull();
    expect(toChannelUnit(channelNamed('batt')!, 4.2, 'mA')).toBeNull();
  });

  it('turns every mA with up to six decimals into the ampere that is written so', () => {
    const milliamperes = fc.tuple(fc.nat({ max: 2_000_000 }), fc.nat({ max: 999_999 }));
    fc.assert(
      fc.property(milliamperes, ([whole, millionths]) => {
        const digits = String(millionths).padStart(6, '0');
        const written = Number(`${whole}.${digits}e-3`);
        expect(amperesFromMilliamperes(Number(`${whole}.${digits}`))).toBe(written);
      }),
    );
  });

  it('keeps every mA within rounding error of its thousandth', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (milliamperes) => {
        const error = Math.abs(amperesFromMilliamperes(milliamperes) - milliamperes / 1000);
        expect(error).toBeLessThanOrEqual(Math.abs(milliamperes / 1000) * 2 ** -50);
      }),
    );
  });

  it('finds NaN implausible', () => {
    expect(isPlausible(leak, Number.NaN)).toBe(false);
  });

  it('gives rh and t to both senders', () => {
    expect(CHANNELS.filter((one) => sentBy(one, true) && sentBy(one, false))).toHaveLength(2);
  });
});
