import { Buffer } from 'node:buffer';
import { generate } from 'mqtt-packet';

/** How much of the payload is kept: what the quarantine keeps. */
const PAYLOAD_HEAD_BYTES = 4096;

const TOPIC_LENGTH_BYTES = 2;
const MESSAGE_ID_BYTES = 2;

export interface ShortenedPublish {
  /** Null for QoS 0. */
  readonly messageId: number | null;
  readonly topic: string;
  /** Length of the whole packet after its fixed header, as announced, bytes. */
  readonly announcedBytes: number;
  /** The same publish with the first 4 KiB of its payload and no properties. */
  readonly packet: Buffer;
}

/** Takes a publish that is too long, byte by byte, and remembers only its beginning. */
export class ShortPublish {
  readonly #first: number;
  readonly #length: number;
  readonly #isVersion5: boolean;
  #taken = 0;
  /** Bytes from the topic's length on, as far as they are needed. */
  #head: Buffer = Buffer.alloc(0);
  /** Where the payload begins, bytes after the fixed header; null until that is known. */
  #payloadFrom: number | null = null;
  readonly #payload: Buffer[] = [];
  #payloadBytes = 0;

  constructor(first: number, length: number, isVersion5: boolean) {
    this.#first = first;
    this.#length = length;
    this.#isVersion5 = isVersion5;
  }

  /** Takes what belongs to this packet; gives how many bytes that were. Throws when it is none. */
  feed(chunk: Buffer): number {
    const mine = chunk.subarray(0, this.#length - this.#taken);
    if (this.#payloadFrom === null) {
      this.#head = Buffer.concat([this.#head, mine]);
      this.#payloadFrom = this.#findPayload();
      if (this.#payloadFrom === null && this.#head.length > 65_536 + 16) {
        throw new Error('MQTT publish whose topic does not end');
      }
      if (this.#payloadFrom !== null) this.#keep(this.#head.subarray(this.#payloadFrom));
      this.#taken += mine.length;
      return mine.length;
    }
    const from = Math.max(0, this.#payloadFrom - this.#taken);
    this.#keep(mine.subarray(from));
    this.#taken += mine.length;
    return mine.length;
  }

  /** Null while the packet is not complete. */
  result(): ShortenedPublish | null {
    if (this.#taken < this.#length) return null;
    const topicEnd = TOPIC_LENGTH_BYTES + this.#topicLength();
    if (this.#payloadFrom === null) throw new Error('MQTT publish that ends within its topic');
    const qos = (this.#first >> 1) & 0x03;
    const topic = this.#head.toString('utf8', TOPIC_LENGTH_BYTES, topicEnd);
    const messageId = qos === 0 ? null : this.#head.readUInt16BE(topicEnd);
    const packet = generate(
      {
        cmd: 'publish',
        topic,
        payload: Buffer.concat(this.#payload),
        qos: qos === 0 ? 0 : 1,
        retain: (this.#first & 0x01) !== 0,
        dup: (this.#first & 0x08) !== 0,
        ...(messageId === null ? {} : { messageId }),
      },
      { protocolVersion: this.#isVersion5 ? 5 : 4 },
    );
    return { messageId, topic, announcedBytes: this.#length, packet };
  }

  #keep(bytes: Buffer): void {
    const kept = bytes.subarray(0, PAYLOAD_HEAD_BYTES - this.#payloadBytes);
    if (kept.length === 0) return;
    // A copy: the chunk that it lies in is large.
    this.#payload.push(Buffer.from(kept));
    this.#payloadBytes += kept.length;
  }

  #topicLength(): number {
    return this.#head.length < TOPIC_LENGTH_BYTES ? 0 : this.#head.readUInt16BE(0);
  }

  #findPayload(): number | null {
    if (this.#head.length < TOPIC_LENGTH_BYTES) return null;
    const hasId = ((this.#first >> 1) & 0x03) > 0;
    const idEnd = TOPIC_LENGTH_BYTES + this.#topicLength() + (hasId ? MESSAGE_ID_BYTES : 0);
    if (this.#head.length < idEnd) return null;
    if (!this.#isVersion5) return idEnd;
    let properties = 0;
    for (let index = 0; index < 4; index++) {
      const byte = this.#head[idEnd + index];
      if (byte === undefined) return null;
      properties += (byte & 0x7f) * 128 ** index;
      if ((byte & 0x80) === 0) return idEnd + index + 1 + properties;
    }
    throw new Error('MQTT property length with more than four bytes');
  }
}
