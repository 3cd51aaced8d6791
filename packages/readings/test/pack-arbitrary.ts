/** Packs for property tests: sound ones, and everything that a broken or hostile node may send. */

import {
  CHANNELS,
  type ChannelValues,
  encodeSenmlCbor,
  encodeSenmlJson,
  type PackReading,
} from '@lineside/readings';
import { Encoder } from 'cbor-x';
import fc from 'fast-check';

/** Time of receipt that the packs are made for: 2026-01-10T04:00:00Z. */
export const ARBITRARY_RECEIVED_AT_MS: number = Date.UTC(2026, 0, 10, 4);
/** The oldest time that sound packs have. */
export const ARBITRARY_OLDEST_AT_MS: number = ARBITRARY_RECEIVED_AT_MS - 400 * 86_400_000;

const cbor = new Encoder({ mapsAsObjects: false, useRecords: false });

function channelValues(): fc.Arbitrary<ChannelValues> {
  const model = Object.fromEntries(
    CHANNELS.filter((one) => one.sender !== 'weather').map((one) => [
      one.name,
      one.kind === 'boolean'
        ? fc.constantFrom(0, 1)
        : fc.double({ min: one.lowest, max: one.highest, noNaN: true }).map((value) => value + 0),
    ]),
  );
  return fc.record(model, { requiredKeys: [] }).filter((values) => Object.keys(values).length > 0);
}

/** Readings of a unit with plausible values, one per event time, oldest first. */
export function readingsArbitrary(): fc.Arbitrary<readonly PackReading[]> {
  const atMs = fc.integer({ min: ARBITRARY_OLDEST_AT_MS, max: ARBITRARY_RECEIVED_AT_MS });
  return fc
    .uniqueArray(fc.record({ atMs, channels: channelValues() }), {
      maxLength: 12,
      selector: (reading) => reading.atMs,
    })
    .map((readings) => readings.sort((a, b) => a.atMs - b.atMs));
}

const anything = fc.anything({
  withBigInt: true,
  withDate: true,
  withMap: true,
  withNullPrototype: true,
  withSet: true,
  withTypedArray: true,
});

const label = fc.oneof(
  fc.constantFrom('bn', 'bt', 'bu', 'bv', 'bs', 'bver', 'n', 'u', 'v', 'vs', 'vb', 'vd', 's', 't'),
  fc.constantFrom('ut', 'x', 'x_', '__proto__', 'constructor', 'toString', ''),
);
const fieldValue = fc.oneof(
  fc.double(),
  fc.integer(),
  fc.constantFrom('leak', 'rh', 'door', 'x:t', 'a/ia', 'A', 'mA', '%RH', 'Cel', '', ' ', 'é'),
  fc.boolean(),
  fc.constantFrom(null, 5, 10, 26, 27, -60, 1.7e9, 2 ** 28),
  anything,
);
const jsonPack = fc.array(fc.dictionary(label, fieldValue, { maxKeys: 6 }), { maxLength: 8 });
const cborLabel = fc.oneof(fc.integer({ min: -8, max: 10 }), label, fc.double());
const cborPack = fc.array(
  fc.array(fc.tuple(cborLabel, fieldValue), { maxLength: 6 }).map((fields) => new Map(fields)),
  { maxLength: 8 },
);

/** Bytes near SenML: sound packs, records with wrong fields, both with bytes changed, noise. */
export function hostilePackArbitrary(): fc.Arbitrary<Uint8Array> {
  const sound = fc
    .tuple(readingsArbitrary(), fc.boolean())
    .map(([readings, json]) => (json ? encodeSenmlJson : encodeSenmlCbor)('x:', readings));
  const wrongJson = jsonPack.map((records) => new TextEncoder().encode(jsonText(records)));
  const wrongCbor = cborPack.map(cborBytes);
  const head = fc.constantFrom(0x5b, 0x80, 0x81, 0x82, 0x98, 0x9b, 0x9f);
  const noise = fc
    .tuple(head, fc.uint8Array({ maxLength: 64 }))
    .map(([first, rest]) => Uint8Array.of(first, ...rest));
  const whole = fc.oneof(sound, wrongJson, wrongCbor);
  return fc.oneof(whole, noise, mutated(whole), fc.uint8Array({ maxLength: 64 }));
}

function mutated(packs: fc.Arbitrary<Uint8Array>): fc.Arbitrary<Uint8Array> {
  const change = fc.record({
    at: fc.nat({ max: 4000 }),
    drop: fc.nat({ max: 3 }),
    insert: fc.uint8Array({ maxLength: 3 }),
  });
  return fc
    .tuple(packs, fc.array(change, { minLength: 1, maxLength: 4 }))
    .map(([pack, changes]) => {
      let bytes = [...pack];
      for (const { at, drop, insert } of changes) {
        const place = bytes.length === 0 ? 0 : at % bytes.length;
        bytes = [...bytes.slice(0, place), ...insert, ...bytes.slice(place + drop)];
      }
      return Uint8Array.from(bytes);
    });
}

function jsonText(records: unknown): string {
  return JSON.stringify(records, (_, value) => (typeof value === 'bigint' ? `${value}` : value));
}

/** What the encoder itself cannot write (some odd objects) becomes an empty pack. */
function cborBytes(records: unknown): Uint8Array {
  try {
    return Uint8Array.from(cbor.encode(records));
  } catch {
    return Uint8Array.of(0x80);
  }
}
