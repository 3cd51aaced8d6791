import type { QuarantineEntry } from '@lineside/storage';

/** How much of a refused message is kept: enough to see what the sender meant. */
const QUARANTINE_PAYLOAD_BYTES = 4096;

/** Longer topics are cut; ours have at most 160 characters. */
const QUARANTINE_TOPIC_CHARACTERS = 512;

/** An entry for the quarantine; it copies what it keeps, so the message itself can go. */
export function quarantineEntry(
  atMs: number,
  topic: string,
  payload: Uint8Array,
  { code, reason }: { readonly code: string; readonly reason: string },
): QuarantineEntry {
  return {
    atMs,
    topic: topic.slice(0, QUARANTINE_TOPIC_CHARACTERS),
    code,
    reason,
    payload: Uint8Array.from(payload.subarray(0, QUARANTINE_PAYLOAD_BYTES)),
  };
}
