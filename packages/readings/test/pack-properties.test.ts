import {
  channelNamed,
  type DecodedPack,
  decodePack,
  encodeSenmlCbor,
  encodeSenmlJson,
  isPlausible,
  QUARANTINE_CODES,
} from '@lineside/readings';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  ARBITRARY_OLDEST_AT_MS,
  ARBITRARY_RECEIVED_AT_MS,
  hostilePackArbitrary,
  readingsArbitrary,
} from './pack-arbitrary.ts';

const CONTEXT = {
  receivedAtMs: ARBITRARY_RECEIVED_AT_MS,
  oldestAtMs: ARBITRARY_OLDEST_AT_MS,
  weather: false,
};

function expectSound(pack: DecodedPack): void {
  for (const [index, reading] of pack.readings.entries()) {
    const before = pack.readings[index - 1];
    if (before !== undefined && before.atMs >= reading.atMs) throw new Error('times do not rise');
    if (!Number.isInteger(reading.atMs)) throw new Error(`${reading.atMs} is no whole ms`);
    const entries = Object.entries(reading.channels);
    if (entries.length === 0) throw new Error('a reading without channels');
    for (const [name, value] of entries) {
      const channel = channelNamed(name);
      if (channel === null || !isPlausible(channel, value)) throw new Error(`${name} ${value}`);
    }
  }
  if (pack.refusal === null) {
    if (pack.refusedTimes !== 0) throw new Error('refused times without a refusal');
    return;
  }
  const { code, reason } = pack.refusal;
  if (!reason.startsWith(QUARANTINE_CODES[code])) throw new Error(`${code}: ${reason}`);
  if (reason.length > 1000) throw new Error('a reason of more than 1,000 characters');
}

describe('packs', () => {
  it('decode to what was encoded, in JSON and in CBOR', () => {
    fc.assert(
      fc.property(readingsArbitrary(), fc.constantFrom('', 'x:', 'a/b:'), (readings, baseName) => {
        for (const encode of [encodeSenmlJson, encodeSenmlCbor]) {
          const pack = decodePack(encode(baseName, readings), CONTEXT);
          expect(pack).toEqual({ readings, refusal: null, refusedTimes: 0 });
        }
      }),
      { numRuns: 300 },
    );
  });

  it('never throw and say why they are refused, over 20,000 random and mutated ones', () => {
    let refused = 0;
    let taken = 0;
    fc.assert(
      fc.property(hostilePackArbitrary(), fc.boolean(), (bytes, weather) => {
        const pack = decodePack(bytes, { ...CONTEXT, weather });
        expectSound(pack);
        if (pack.refusal === null) taken += 1;
        else refused += 1;
      }),
      { numRuns: 20_000 },
    );
    // Both ways out must have been walked, or the packs are no test.
    expect(refused).toBeGreaterThan(5000);
    expect(taken).toBeGreaterThan(1000);
  }, 60_000);
});

describe('encoders', () => {
  it('refuse times that SenML cannot say', () => {
    expect(() => encodeSenmlJson('', [{ atMs: 1000, channels: { rh: 1 } }])).toThrow(RangeError);
    expect(() => encodeSenmlCbor('', [{ atMs: 1.7e12 + 0.5, channels: { rh: 1 } }])).toThrow(
      RangeError,
    );
  });

  it('are compact: one base time, and times relative to it', () => {
    const readings = [
      { atMs: 1_768_003_200_000, channels: { rh: 50, t: 5 } },
      { atMs: 1_768_003_260_500, channels: { door: 1 } },
    ];
    expect(new TextDecoder().decode(encodeSenmlJson('x:', readings))).toBe(
      '[{"bn":"x:","bt":1768003200,"n":"rh","u":"%RH","v":50},{"n":"t","u":"Cel","v":5},' +
        '{"n":"door","t":60.5,"vb":true}]',
    );
  });
});
