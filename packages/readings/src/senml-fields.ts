import { quoted, type Refusal, refusal } from './quarantine-codes.ts';

/**
 * The labelled fields of one SenML record (RFC 8428 sections 4.1 to 4.3), `null` where absent.
 * One object is filled again and again while a pack is read.
 */
export interface SenmlFields {
  baseName: string | null;
  baseTime: number | null;
  baseUnit: string | null;
  baseValue: number | null;
  baseSum: number | null;
  version: number | null;
  name: string | null;
  unit: string | null;
  value: number | null;
  text: string | null;
  boolean: boolean | null;
  /** Base64 text in JSON, bytes in CBOR. */
  data: string | Uint8Array | null;
  sum: number | null;
  time: number | null;
  updateTime: number | null;
}

/**
 * The highest version that is understood: RFC 9100 feature code 4, secondary units, on top of
 * version 10 of RFC 8428 (10 + 2^4).
 */
export const SENML_HIGHEST_VERSION = 26;

/** CBOR labels -6 to 8 (RFC 8428 section 6, table 4). */
const CBOR_LABELS = [
  'bs',
  'bv',
  'bu',
  'bt',
  'bn',
  'bver',
  'n',
  'u',
  'v',
  'vs',
  'vb',
  's',
  't',
  'ut',
  'vd',
] as const;
const LOWEST_CBOR_LABEL = -6;

/** Labels a writer uses in CBOR, by their JSON label. */
export const CBOR_LABEL_NUMBERS: ReadonlyMap<string, number> = new Map(
  CBOR_LABELS.map((label, index) => [label, index + LOWEST_CBOR_LABEL]),
);

/** Fields of a record that states nothing. */
export function noFields(): SenmlFields {
  return {
    baseName: null,
    baseTime: null,
    baseUnit: null,
    baseValue: null,
    baseSum: null,
    version: null,
    name: null,
    unit: null,
    value: null,
    text: null,
    boolean: null,
    data: null,
    sum: null,
    time: null,
    updateTime: null,
  };
}

function clear(fields: SenmlFields): void {
  fields.baseName = null;
  fields.baseTime = null;
  fields.baseUnit = null;
  fields.baseValue = null;
  fields.baseSum = null;
  fields.version = null;
  fields.name = null;
  fields.unit = null;
  fields.value = null;
  fields.text = null;
  fields.boolean = null;
  fields.data = null;
  fields.sum = null;
  fields.time = null;
  fields.updateTime = null;
}

/**
 * Reads one record, an object from JSON or a map from CBOR, into `fields`.
 *
 * Unknown labels are ignored, those ending in `_` refuse the pack (RFC 8428 section 4.4). A label
 * given twice counts as given last. In CBOR a label may also be its JSON text.
 *
 * @returns what is wrong with the record, which refuses the whole pack, or `null`.
 */
export function readFields(record: unknown, fields: SenmlFields): Refusal | null {
  clear(fields);
  if (record instanceof Map) {
    for (const [label, value] of record) {
      const problem = setCborField(fields, label, value);
      if (problem !== null) return problem;
    }
  } else if (typeof record === 'object' && record !== null && !Array.isArray(record)) {
    const object = record as Readonly<Record<string, unknown>>;
    for (const label in object) {
      const problem = setField(fields, label, object[label]);
      if (problem !== null) return problem;
    }
  } else {
    return refusal('malformed-record', 'it is no object with labels');
  }
  return valueCount(fields) > 1
    ? refusal('malformed-record', 'it has more than one of v, vs, vb, vd')
    : null;
}

function valueCount(fields: SenmlFields): number {
  return (
    (fields.value === null ? 0 : 1) +
    (fields.text === null ? 0 : 1) +
    (fields.boolean === null ? 0 : 1) +
    (fields.data === null ? 0 : 1)
  );
}

function setCborField(fields: SenmlFields, label: unknown, value: unknown): Refusal | null {
  if (typeof label === 'string') return setField(fields, label, value);
  if (typeof label !== 'number') return null;
  const known = CBOR_LABELS[label - LOWEST_CBOR_LABEL];
  return known === undefined ? null : setField(fields, known, value);
}

function setField(fields: SenmlFields, label: string, value: unknown): Refusal | null {
  switch (label) {
    case 'bver':
      return setVersion(fields, value);
    case 'bt':
    case 'bv':
    case 'bs':
    case 'v':
    case 's':
    case 't':
    case 'ut':
      return setNumber(fields, label, value);
    case 'bn':
    case 'bu':
    case 'n':
    case 'u':
    case 'vs':
      return setText(fields, label, value);
    case 'vb':
      if (typeof value !== 'boolean') return wrongType(label, 'true or false', value);
      fields.boolean = value;
      return null;
    case 'vd':
      if (typeof value !== 'string' && !(value instanceof Uint8Array)) {
        return wrongType(label, 'base64 text or bytes', value);
      }
      fields.data = value;
      return null;
    default:
      return label.endsWith('_') ? refusal('must-understand-label', quoted(label)) : null;
  }
}

type NumberLabel = 'bt' | 'bv' | 'bs' | 'v' | 's' | 't' | 'ut';

function setNumber(fields: SenmlFields, label: NumberLabel, stated: unknown): Refusal | null {
  // CBOR integers beyond 2^53 arrive as bigint; RFC 8428 asks for double precision only.
  const value = typeof stated === 'bigint' ? Number(stated) : stated;
  if (typeof value !== 'number') return wrongType(label, 'a number', value);
  switch (label) {
    case 'v':
      fields.value = value;
      break;
    case 't':
      fields.time = value;
      break;
    case 'bt':
      fields.baseTime = value;
      break;
    case 'bv':
      fields.baseValue = value;
      break;
    case 'bs':
      fields.baseSum = value;
      break;
    case 's':
      fields.sum = value;
      break;
    case 'ut':
      fields.updateTime = value;
      break;
  }
  return null;
}

type TextLabel = 'bn' | 'bu' | 'n' | 'u' | 'vs';

function setText(fields: SenmlFields, label: TextLabel, value: unknown): Refusal | null {
  if (typeof value !== 'string') return wrongType(label, 'text', value);
  switch (label) {
    case 'n':
      fields.name = value;
      break;
    case 'u':
      fields.unit = value;
      break;
    case 'bn':
      fields.baseName = value;
      break;
    case 'bu':
      fields.baseUnit = value;
      break;
    case 'vs':
      fields.text = value;
      break;
  }
  return null;
}

function setVersion(fields: SenmlFields, stated: unknown): Refusal | null {
  const version = typeof stated === 'bigint' ? Number(stated) : stated;
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1) {
    return refusal('unsupported-version', 'bver must be a positive integer');
  }
  if (version > SENML_HIGHEST_VERSION) {
    return refusal('unsupported-version', `bver ${version} is above ${SENML_HIGHEST_VERSION}`);
  }
  fields.version = version;
  return null;
}

function wrongType(label: string, expected: string, value: unknown): Refusal {
  const found = value === null ? 'null' : Array.isArray(value) ? 'a list' : typeof value;
  return refusal('malformed-record', `${label} must be ${expected}, found ${found}`);
}
