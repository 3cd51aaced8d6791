import { Buffer } from 'node:buffer';
import { type ShortenedPublish, ShortPublish } from './short-publish.ts';

/** Control packet type 3, MQTT 3.1.1 section 2.2.1. */
const PUBLISH_TYPE = 3;

/** The length field has one to four bytes, MQTT 3.1.1 section 2.2.3. */
const MOST_LENGTH_BYTES = 4;

export interface ShortenerOptions {
  /** Most bytes of a packet after its fixed header that are let through whole. */
  readonly mostPacketBytes: number;
  /** MQTT 5 has properties before the payload. */
  readonly isVersion5: boolean;
  /** Called for each publish that was too long, before its shortened form is handed on. */
  readonly onShortened: (publish: ShortenedPublish) => void;
}

/**
 * Follows the packets of one MQTT byte stream and hands its bytes on as they come, without keeping
 * them; only a publish that is too long leaves as a short one with the first bytes of its payload,
 * whatever length it announced. So it can be acknowledged, and the parser behind, which would
 * buffer all of it, never sees it.
 */
export class PacketShortener {
  readonly #options: ShortenerOptions;
  #bodyBytesLeft = 0;
  /** The fixed header that is being read, as far as it came. */
  readonly #header: Buffer = Buffer.alloc(1 + MOST_LENGTH_BYTES);
  #headerBytes = 0;
  #short: ShortPublish | null = null;

  constructor(options: ShortenerOptions) {
    this.#options = options;
  }

  /** The bytes to hand on. Throws when the stream is no MQTT, or a packet too long to be shortened. */
  feed(chunk: Buffer): readonly Buffer[] {
    const out: Buffer[] = [];
    let from = 0;
    let at = 0;
    while (at < chunk.length) {
      if (this.#short !== null) {
        at += this.#short.feed(chunk.subarray(at));
        from = at;
        this.#finishShort(out);
      } else if (this.#bodyBytesLeft > 0) {
        const step = Math.min(this.#bodyBytesLeft, chunk.length - at);
        this.#bodyBytesLeft -= step;
        at += step;
      } else {
        const headerFrom = at - this.#headerBytes;
        const isComplete = this.#headerByte(chunk[at++] ?? 0);
        if (isComplete) {
          if (this.#begin()) {
            push(out, chunk.subarray(from, Math.max(from, headerFrom)));
            from = at;
          } else if (headerFrom < 0) {
            // Its first bytes came with the chunk before and were held back.
            push(out, Buffer.from(this.#header.subarray(0, this.#headerBytes)));
            from = at;
          }
          this.#headerBytes = 0;
        }
      }
    }
    const until = chunk.length - this.#headerBytes;
    push(out, chunk.subarray(from, Math.max(from, until)));
    return out;
  }

  /** Takes one byte of a fixed header; true when it is complete. */
  #headerByte(byte: number): boolean {
    this.#header[this.#headerBytes++] = byte;
    if (this.#headerBytes === 1 || (byte & 0x80) === 0) return this.#headerBytes > 1;
    if (this.#headerBytes > MOST_LENGTH_BYTES) {
      throw new Error('MQTT length field with more than four bytes');
    }
    return false;
  }

  /** Begins a packet whose fixed header is complete; true when it has to be shortened. */
  #begin(): boolean {
    const first = this.#header[0] ?? 0;
    let length = 0;
    for (let index = this.#headerBytes - 1; index > 0; index--) {
      length = length * 128 + ((this.#header[index] ?? 0) & 0x7f);
    }
    if (length <= this.#options.mostPacketBytes) {
      this.#bodyBytesLeft = length;
      return false;
    }
    if (first >> 4 !== PUBLISH_TYPE) {
      throw new Error(`MQTT packet of type ${first >> 4} with ${length} bytes`);
    }
    this.#short = new ShortPublish(first, length, this.#options.isVersion5);
    return true;
  }

  #finishShort(out: Buffer[]): void {
    const publish = this.#short?.result() ?? null;
    if (publish === null) return;
    this.#short = null;
    this.#options.onShortened(publish);
    push(out, publish.packet);
  }
}

function push(out: Buffer[], bytes: Buffer): void {
  if (bytes.length > 0) out.push(bytes);
}
