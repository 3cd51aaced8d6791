import { CBOR_MOST_DEPTH, decodePack, PACK_MOST_RECORDS } from '@lineside/readings';
import { Encoder } from 'cbor-x';
import { describe, expect, it } from 'vitest';
import { checkCborShape } from '../src/cbor-shape.ts';

const NOW_MS = Date.UTC(2026, 0, 10);
const CONTEXT = { receivedAtMs: NOW_MS, oldestAtMs: 0, weather: false };

function hex(text: string): Uint8Array {
  return Uint8Array.from(Buffer.from(text.replaceAll(' ', ''), 'hex'));
}

function reasonOf(text: string): string | null {
  return checkCborShape(hex(text))?.reason ?? null;
}

/** `{n: 'rh', u: '%RH'}` without its value. */
const RH = '00 62 72 68 01 63 25 52 48';

describe('CBOR that SenML allows', () => {
  it.each([
    ['an integer', `81 a3 ${RH} 02 18 32`, 50],
    ['a half float', `81 a3 ${RH} 02 f9 52 40`, 50],
    ['a float', `81 a3 ${RH} 02 fa 42 48 00 00`, 50],
    ['a double', `81 a3 ${RH} 02 fb 40 49 00 00 00 00 00 00`, 50],
    ['an eight byte integer', `81 a3 ${RH} 02 1b 00 00 00 00 00 00 00 32`, 50],
    ['a decimal fraction', `81 a3 ${RH} 02 c4 82 20 19 01 f5`, 50.1],
    ['an open-ended pack', `9f a3 ${RH} 02 18 32 ff`, 50],
    ['an open-ended record', `81 bf ${RH} 02 18 32 ff`, 50],
    ['a long array head', `9b 00 00 00 00 00 00 00 01 a3 ${RH} 02 18 32`, 50],
    ['labels as text', '81 a3 61 6e 62 72 68 61 75 63 25 52 48 61 76 18 32', 50],
    ['an unknown label with nested values', `81 a4 ${RH} 02 18 32 61 78 82 a1 01 02 80`, 50],
    ['a label given twice, which counts as given last', `81 a4 ${RH} 02 01 02 18 32`, 50],
  ])('is taken: %s', (_, text, rh) => {
    expect(decodePack(hex(text), CONTEXT)).toEqual({
      readings: [{ atMs: NOW_MS, channels: { rh } }],
      refusal: null,
      refusedTimes: 0,
    });
  });

  it('takes integers beyond 2^53 as numbers', () => {
    const pack = decodePack(hex(`81 a3 ${RH} 02 1b ff ff ff ff ff ff ff ff`), CONTEXT);
    expect(pack.refusal?.code).toBe('value-implausible');
  });
});

describe('CBOR that is refused', () => {
  it.each([
    ['a truncated number', '81 18', 'ends too early'],
    ['a truncated text', '81 63 61', 'ends too early'],
    ['a missing record', '82 a0', 'ends too early'],
    ['a length that is not there', '9a 00 98 96 80', 'ends too early'],
    ['a nested length that is not there', '81 9a 01 ff ff ff', 'ends too early'],
    ['a map length that is not there', '81 bb ff ff ff ff ff ff ff ff', 'ends too early'],
    ['a text length that is not there', '81 7b ff ff ff ff ff ff ff ff', 'ends too early'],
    ['bytes after the pack', '80 00', 'bytes follow the pack'],
    ['a break out of place', '81 ff', 'a break outside'],
    ['a map that ends after a key', '81 bf 00 ff', 'ends after a key'],
    ['a reserved head', '81 1c', 'does not define'],
    ['text in chunks', '81 7f 61 61 ff', 'in chunks'],
    ['a bignum', '81 c2 41 01', 'tag 2'],
    ['a date', '81 c1 00', 'tag 1'],
    ['a shared reference', '81 d8 1d 00', 'tag 29'],
    ['a record definition', '81 d9 df ff 83 19 e0 00 81 61 61 01', 'tag 57343'],
    ['a decimal fraction of no list', '81 c4 c4 c4 01', 'no list of two'],
  ])('is refused: %s', (_, text, words) => {
    expect(reasonOf(text)).toContain(words);
    const pack = decodePack(hex(text), CONTEXT);
    expect(pack.readings).toEqual([]);
    expect(pack.refusal?.reason).toContain(words);
  });

  it('is nested too deep, at once and without recursion', () => {
    expect(reasonOf(`${'81'.repeat(CBOR_MOST_DEPTH)}a0`)).toContain('nested deeper');
    expect(reasonOf(`${'81'.repeat(CBOR_MOST_DEPTH)}00`)).toBeNull();
    expect(reasonOf('81'.repeat(200_000))).toContain('nested deeper');
    expect(reasonOf('9f'.repeat(200_000))).toContain('nested deeper');
  });

  it('has too many records, with a stated length and without', () => {
    const records = 'a0'.repeat(PACK_MOST_RECORDS + 1);
    expect(reasonOf(`99 27 11 ${records}`)).toContain('too many records');
    expect(reasonOf(`9f ${records} ff`)).toContain('too many records');
  });

  it('is a simple value that nobody knows', () => {
    expect(decodePack(hex('81 f8 ff'), CONTEXT).refusal).not.toBeNull();
    expect(decodePack(hex('81 e0'), CONTEXT).refusal).not.toBeNull();
  });
});

describe('the walk', () => {
  it('accepts whatever a general encoder writes', () => {
    const encoder = new Encoder({ mapsAsObjects: false, useRecords: false });
    const values = [[], [[]], [new Map([[1, [2.5, 'x', null, true, new Map()]]])], [-1e9, 70_000]];
    for (const value of values) expect(checkCborShape(encoder.encode(value))).toBeNull();
  });
});
