/** Limits of one message. A message over them is refused whole. */

/** 256 KiB: a backlog of a day at one reading a minute in JSON, with room to spare. */
export const PACK_MOST_BYTES: number = 256 * 1024;

/** Bounds the work that one message can cause; 1,250 readings of eight channels. */
export const PACK_MOST_RECORDS = 10_000;

/** 1 MiB: above it the connection is closed, so that no node can fill the memory. */
export const MESSAGE_MOST_BYTES: number = 1024 * 1024;

/** Five minutes: how far a node's clock may run ahead of the server's. */
export const FUTURE_TOLERANCE_MS: number = 5 * 60_000;

/** Characters of a name, base name and name joined; thousands of long ones cost time. */
export const NAME_MOST_CHARACTERS = 1024;

/** Arrays and maps within each other in a CBOR pack; SenML itself needs three. */
export const CBOR_MOST_DEPTH = 16;

/** Characters of a name or value that a reason quotes, so that reasons stay short. */
export const QUOTE_MOST_CHARACTERS = 80;
