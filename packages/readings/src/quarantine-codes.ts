import { QUOTE_MOST_CHARACTERS } from './pack-limits.ts';

/**
 * Why a message, or a part of it, was not stored. Codes are stable: they label metrics and are
 * read by programs. A new cause gets a new code; a code is never used for something else. Where
 * several apply to one pack, the one listed first is reported.
 */
export const QUARANTINE_CODES = {
  'topic-not-allowed': 'topic not allowed',
  'unknown-unit': 'unknown unit',
  'presence-malformed': 'presence is neither online nor offline',
  'message-too-large': 'message too large, the connection was closed',
  'pack-too-large': 'pack too large',
  'too-many-records': 'too many records',
  'not-senml': 'not a SenML pack',
  'malformed-json': 'malformed JSON',
  'malformed-cbor': 'malformed CBOR',
  'unsupported-version': 'SenML version not supported',
  'must-understand-label': 'label must be understood but is unknown',
  'malformed-record': 'record is not well formed',
  'name-invalid': 'name breaks the rules of SenML',
  'time-out-of-range': 'time out of range',
  'unit-mismatch': 'unit does not fit the channel',
  'value-kind-mismatch': 'kind of value does not fit the channel',
  'value-implausible': 'value is implausible',
} as const;

export type QuarantineCode = keyof typeof QUARANTINE_CODES;

/** What goes into quarantine with a message: a code for programs, words for people. */
export interface Refusal {
  readonly code: QuarantineCode;
  /** Starts with the words of the code. */
  readonly reason: string;
}

/** A refusal whose reason is the words of `code`, followed by `detail` where there is one. */
export function refusal(code: QuarantineCode, detail?: string): Refusal {
  const words = QUARANTINE_CODES[code];
  return { code, reason: detail === undefined ? words : `${words}: ${detail}` };
}

/** Something from a message, shortened and free of control characters, for use in a reason. */
export function quoted(text: string): string {
  const clipped =
    text.length > QUOTE_MOST_CHARACTERS ? `${text.slice(0, QUOTE_MOST_CHARACTERS)}…` : text;
  return JSON.stringify(clipped);
}
