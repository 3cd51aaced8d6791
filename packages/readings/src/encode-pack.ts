import { Encoder } from 'cbor-x';
import { CHANNELS } from './channel-table.ts';
import type { PackReading } from './reading-collector.ts';
import { CBOR_LABEL_NUMBERS } from './senml-fields.ts';
import { SENML_ABSOLUTE_FROM_SECONDS } from './senml-resolve.ts';

type Field = readonly [label: string, value: string | number | boolean];

const cbor = new Encoder({ mapsAsObjects: false, useRecords: false });

/**
 * Writes readings as a SenML pack in JSON, as a node would: one base name and base time, relative
 * times, channels in storage order in the units of the channel table.
 *
 * @param baseName goes before each channel name; end it with `:` or `/`, or leave it empty.
 * @param readings whole ms since 1970, from 1978-07-04 on (SenML has no absolute times before);
 *   values in the units of the channel table, `door` 0 or 1. In any order.
 * @returns UTF-8 bytes; `[]` without readings.
 * @throws RangeError for a time that is not a whole ms or too early for SenML.
 */
export function encodeSenmlJson(baseName: string, readings: readonly PackReading[]): Uint8Array {
  const records = recordsOf(baseName, readings).map((fields) => Object.fromEntries(fields));
  return new TextEncoder().encode(JSON.stringify(records));
}

/** As `encodeSenmlJson`, in CBOR with integer labels (RFC 8428 section 6). */
export function encodeSenmlCbor(baseName: string, readings: readonly PackReading[]): Uint8Array {
  const records = recordsOf(baseName, readings).map(
    (fields) => new Map(fields.map(([label, value]) => [CBOR_LABEL_NUMBERS.get(label), value])),
  );
  return cbor.encode(records);
}

function recordsOf(baseName: string, readings: readonly PackReading[]): readonly Field[][] {
  const records: Field[][] = [];
  const baseMs = readings[0]?.atMs ?? 0;
  for (const { atMs, channels } of readings) {
    if (!Number.isInteger(atMs) || atMs < SENML_ABSOLUTE_FROM_SECONDS * 1000) {
      throw new RangeError(`${atMs} is no whole millisecond from 1978-07-04 on`);
    }
    for (const { name, unit } of CHANNELS) {
      const value = channels[name];
      if (value === undefined) continue;
      const fields: Field[] = [];
      if (records.length === 0) {
        if (baseName !== '') fields.push(['bn', baseName]);
        fields.push(['bt', baseMs / 1000]);
      }
      fields.push(['n', name]);
      if (atMs !== baseMs) fields.push(['t', (atMs - baseMs) / 1000]);
      if (unit === null) fields.push(['vb', value !== 0]);
      else fields.push(['u', unit], ['v', value]);
      records.push(fields);
    }
  }
  return records;
}
