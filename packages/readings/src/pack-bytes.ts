import { Decoder } from 'cbor-x';
import { checkCborShape, tooManyRecords } from './cbor-shape.ts';
import { PACK_MOST_BYTES, PACK_MOST_RECORDS } from './pack-limits.ts';
import { quoted, type Refusal, refusal } from './quarantine-codes.ts';

export type PackRecords =
  | { readonly ok: true; readonly records: readonly unknown[] }
  | { readonly ok: false; readonly refusal: Refusal };

const JSON_ARRAY = 0x5b;
const CBOR_ARRAY_FIRST = 0x80;
const CBOR_ARRAY_LAST = 0x9b;
const CBOR_ARRAY_OPEN_ENDED = 0x9f;

const cbor = new Decoder({ mapsAsObjects: false, useRecords: false });
const utf8 = new TextDecoder('utf-8', { fatal: true });

/**
 * Splits a message into its SenML records: objects from JSON, maps with integer labels from CBOR.
 * `[` as first byte is JSON, a CBOR array head is CBOR. Nothing is thrown.
 */
export function parsePackBytes(payload: Uint8Array): PackRecords {
  if (payload.length > PACK_MOST_BYTES) {
    return refused('pack-too-large', `${payload.length} bytes, at most ${PACK_MOST_BYTES}`);
  }
  const first = payload[0];
  if (first === undefined) return refused('not-senml', 'the message is empty');
  if (first === JSON_ARRAY) return parseJson(payload);
  const isCbor =
    (first >= CBOR_ARRAY_FIRST && first <= CBOR_ARRAY_LAST) || first === CBOR_ARRAY_OPEN_ENDED;
  if (isCbor) return parseCbor(payload);
  const byte = first.toString(16).padStart(2, '0');
  return refused('not-senml', `first byte 0x${byte} begins neither a JSON nor a CBOR array`);
}

function parseJson(payload: Uint8Array): PackRecords {
  let text: string;
  try {
    text = utf8.decode(payload);
  } catch {
    return refused('malformed-json', 'it is not UTF-8');
  }
  try {
    return checkedRecords(JSON.parse(text));
  } catch (error) {
    return refused('malformed-json', wordsOf(error));
  }
}

function parseCbor(payload: Uint8Array): PackRecords {
  const problem = checkCborShape(payload);
  if (problem !== null) return { ok: false, refusal: problem };
  try {
    return checkedRecords(cbor.decode(payload));
  } catch (error) {
    return refused('malformed-cbor', wordsOf(error));
  }
}

function checkedRecords(records: unknown): PackRecords {
  if (!Array.isArray(records)) return refused('not-senml', 'it is no list of records');
  if (records.length > PACK_MOST_RECORDS) return { ok: false, refusal: tooManyRecords() };
  return { ok: true, records };
}

function refused(code: Refusal['code'], detail: string): PackRecords {
  return { ok: false, refusal: refusal(code, detail) };
}

function wordsOf(error: unknown): string {
  return quoted(error instanceof Error ? error.message : String(error));
}
