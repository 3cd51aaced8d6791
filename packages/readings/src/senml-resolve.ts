import { NAME_MOST_CHARACTERS } from './pack-limits.ts';
import { quoted, type Refusal, refusal } from './quarantine-codes.ts';
import { noFields, readFields, type SenmlFields } from './senml-fields.ts';

/** Base values in force at a place in a pack (RFC 8428 section 4.1). */
export interface SenmlBases {
  name: string;
  timeSeconds: number;
  unit: string | null;
  value: number | null;
  sum: number | null;
}

/** A resolved record: no base fields, no relative time (RFC 8428 section 4.6). */
export interface ResolvedRecord {
  readonly name: string;
  readonly unit: string | null;
  /** Seconds since 1970-01-01T00:00:00Z. */
  readonly timeSeconds: number;
  readonly value: number | null;
  readonly text: string | null;
  readonly boolean: boolean | null;
  /** Base64 text from JSON, bytes from CBOR. */
  readonly data: string | Uint8Array | null;
  readonly sum: number | null;
  readonly updateTimeSeconds: number | null;
}

export type SenmlResolution =
  | { readonly ok: true; readonly records: readonly ResolvedRecord[] }
  | { readonly ok: false; readonly refusal: Refusal; readonly recordIndex: number };

/** Times from here on are absolute, times below are relative to now (RFC 8428 section 4.5.3). */
export const SENML_ABSOLUTE_FROM_SECONDS: number = 2 ** 28;

/** Bases at the start of a pack. */
export function noBases(): SenmlBases {
  return { name: '', timeSeconds: 0, unit: null, value: null, sum: null };
}

/** Takes over the base fields that a record states; they hold from this record on. */
export function takeBases(bases: SenmlBases, fields: SenmlFields): void {
  if (fields.baseName !== null) bases.name = fields.baseName;
  if (fields.baseTime !== null) bases.timeSeconds = fields.baseTime;
  if (fields.baseUnit !== null) bases.unit = fields.baseUnit;
  if (fields.baseValue !== null) bases.value = fields.baseValue;
  if (fields.baseSum !== null) bases.sum = fields.baseSum;
}

/** Event time in seconds since 1970; `nowSeconds` is what relative times count from. */
export function resolvedSeconds(
  bases: SenmlBases,
  fields: SenmlFields,
  nowSeconds: number,
): number {
  const stated = bases.timeSeconds + (fields.time ?? 0);
  return stated < SENML_ABSOLUTE_FROM_SECONDS ? nowSeconds + stated : stated;
}

/** Base value plus value; `null` when there is neither, or another kind of value. */
export function resolvedValue(bases: SenmlBases, fields: SenmlFields): number | null {
  if (fields.value !== null)
    return bases.value === null ? fields.value : bases.value + fields.value;
  const another = fields.text !== null || fields.boolean !== null || fields.data !== null;
  return another ? null : bases.value;
}

/**
 * Whether the record is a measurement; one that states base fields only is not. A record that
 * states neither base fields nor a value nor a sum is malformed (RFC 8428 section 4.2).
 */
export function isMeasurement(bases: SenmlBases, fields: SenmlFields): boolean | Refusal {
  if (fields.value !== null || fields.boolean !== null || fields.sum !== null) return true;
  if (fields.text !== null || fields.data !== null) return true;
  const valueFromBase = bases.value !== null || bases.sum !== null;
  const named = fields.name !== null || fields.time !== null || fields.unit !== null;
  if (valueFromBase && named) return true;
  const header =
    fields.baseName !== null ||
    fields.baseTime !== null ||
    fields.baseUnit !== null ||
    fields.baseValue !== null ||
    fields.baseSum !== null ||
    fields.version !== null;
  return header ? false : refusal('malformed-record', 'it has no value');
}

const NAME_PATTERN = /^[A-Za-z0-9][A-Za-z0-9\-:./_]*$/;

/** What is wrong with a name, base name and name joined (RFC 8428 section 4.5.1), or `null`. */
export function nameProblem(name: string): Refusal | null {
  if (name.length > NAME_MOST_CHARACTERS) {
    return refusal('name-invalid', `longer than ${NAME_MOST_CHARACTERS} characters`);
  }
  if (NAME_PATTERN.test(name)) return null;
  if (name === '') return refusal('name-invalid', 'it is empty');
  return refusal(
    'name-invalid',
    `${quoted(name)} must be of A-Z a-z 0-9 - : . / _ and start with a letter or digit`,
  );
}

/**
 * Resolves the records of a pack as RFC 8428 section 4.6 says, in chronological order (records of
 * one time keep their order).
 *
 * @param records what JSON.parse gives for SenML JSON, or a list of maps with integer labels for
 *   SenML CBOR.
 * @param context `receivedAtMs`: time of receipt in ms since 1970, what relative times count from.
 * @returns the records, or why the pack must not be used and which record says so.
 */
export function resolveSenml(
  records: readonly unknown[],
  context: { readonly receivedAtMs: number },
): SenmlResolution {
  const fields = noFields();
  const bases = noBases();
  const resolved: ResolvedRecord[] = [];
  for (const [recordIndex, record] of records.entries()) {
    const problem = readFields(record, fields);
    if (problem !== null) return { ok: false, refusal: problem, recordIndex };
    takeBases(bases, fields);
    const measured = isMeasurement(bases, fields);
    if (measured === false) continue;
    if (measured !== true) return { ok: false, refusal: measured, recordIndex };
    const one = resolvedRecord(bases, fields, context.receivedAtMs / 1000);
    const wrongName = nameProblem(one.name);
    if (wrongName !== null) return { ok: false, refusal: wrongName, recordIndex };
    resolved.push(one);
  }
  resolved.sort((a, b) => a.timeSeconds - b.timeSeconds);
  return { ok: true, records: resolved };
}

function resolvedRecord(
  bases: SenmlBases,
  fields: SenmlFields,
  nowSeconds: number,
): ResolvedRecord {
  const sumStated = fields.sum !== null || bases.sum !== null;
  return {
    name: bases.name + (fields.name ?? ''),
    unit: fields.unit ?? bases.unit,
    timeSeconds: resolvedSeconds(bases, fields, nowSeconds),
    value: resolvedValue(bases, fields),
    text: fields.text,
    boolean: fields.boolean,
    data: fields.data,
    sum: sumStated ? (bases.sum ?? 0) + (fields.sum ?? 0) : null,
    updateTimeSeconds: fields.updateTime,
  };
}
