import { Buffer } from 'node:buffer';

/** Control packet type 3, MQTT 3.1.1 section 2.2.1. */
const PUBLISH_TYPE = 3;

/** The length field has one to four bytes, MQTT 3.1.1 section 2.2.3. */
const MOST_LENGTH_BYTES = 4;

/** Longer topics of an oversize packet are not waited for; ours have at most 160 characters. */
const MOST_TOPIC_BYTES = 512;

/** How much of an oversize packet is kept for the note about it. */
const MOST_HEAD_BYTES = 4096;

export interface OversizePacket {
  readonly kind: 'oversize';
  /** Length of the packet after its fixed header, as announced, bytes. */
  readonly announcedBytes: number;
  /** Topic of a publish packet when it could be read, else null. */
  readonly topic: string | null;
  /** What had arrived of the payload, at most 4 KiB. */
  readonly payloadHead: Uint8Array;
}

/**
 * `pass`: hand the bytes on. `wait`: an oversize packet has begun and its topic is not complete;
 * hand nothing on. `malformed`: the length field is wrong. The last two kinds end the connection.
 */
export type MeterVerdict = 'pass' | 'wait' | 'malformed' | OversizePacket;

export interface MeterLimits {
  /** Most bytes of the first packet, which is CONNECT: nobody has signed in yet. */
  readonly firstPacketBytes: number;
  readonly packetBytes: number;
}

/**
 * Follows the packet boundaries of one MQTT byte stream, chunk by chunk, without keeping the
 * stream: a packet that announces too many bytes is known from its first two to five bytes.
 */
export class PacketMeter {
  readonly #limits: MeterLimits;
  #first = true;
  #bodyBytesLeft = 0;
  /** First byte of the fixed header: type and flags. */
  #firstByte = -1;
  #length = 0;
  #lengthBytes = 0;
  #oversize: {
    readonly firstByte: number;
    readonly announcedBytes: number;
    head: Buffer;
  } | null = null;

  constructor(limits: MeterLimits) {
    this.#limits = limits;
  }

  /** Looks at the next bytes of the stream. */
  feed(chunk: Uint8Array): MeterVerdict {
    let at = 0;
    while (at < chunk.length && this.#oversize === null) {
      if (this.#bodyBytesLeft > 0) {
        const step = Math.min(this.#bodyBytesLeft, chunk.length - at);
        this.#bodyBytesLeft -= step;
        at += step;
      } else if (!this.#headerByte(chunk[at++] ?? 0)) {
        return 'malformed';
      }
    }
    return this.#oversize === null ? 'pass' : this.#describe(chunk.subarray(at));
  }

  #headerByte(byte: number): boolean {
    if (this.#firstByte === -1) {
      this.#firstByte = byte;
      return true;
    }
    this.#length += (byte & 0x7f) * 128 ** this.#lengthBytes;
    this.#lengthBytes += 1;
    if ((byte & 0x80) !== 0) {
      return this.#lengthBytes < MOST_LENGTH_BYTES;
    }
    const most = this.#first ? this.#limits.firstPacketBytes : this.#limits.packetBytes;
    if (this.#length > most) {
      this.#oversize = {
        firstByte: this.#firstByte,
        announcedBytes: this.#length,
        head: Buffer.alloc(0),
      };
    }
    this.#bodyBytesLeft = this.#length;
    this.#first = false;
    this.#firstByte = -1;
    this.#length = 0;
    this.#lengthBytes = 0;
    return true;
  }

  #describe(bytes: Uint8Array): MeterVerdict {
    const oversize = this.#oversize;
    if (oversize === null) {
      return 'pass';
    }
    const room = MOST_HEAD_BYTES + MOST_TOPIC_BYTES - oversize.head.length;
    oversize.head = Buffer.concat([oversize.head, bytes.subarray(0, room)]);
    const { announcedBytes, head, firstByte } = oversize;
    if (firstByte >> 4 !== PUBLISH_TYPE) {
      return { kind: 'oversize', announcedBytes, topic: null, payloadHead: new Uint8Array() };
    }
    if (head.length < 2) {
      return 'wait';
    }
    const topicBytes = head.readUInt16BE(0);
    if (topicBytes > MOST_TOPIC_BYTES) {
      return { kind: 'oversize', announcedBytes, topic: null, payloadHead: new Uint8Array() };
    }
    if (head.length < 2 + topicBytes) {
      return 'wait';
    }
    const topic = head.toString('utf8', 2, 2 + topicBytes);
    // A packet id stands between topic and payload unless it has QoS 0.
    const payloadFrom = 2 + topicBytes + ((firstByte & 0x06) === 0 ? 0 : 2);
    const payloadHead = Uint8Array.from(head.subarray(payloadFrom, payloadFrom + MOST_HEAD_BYTES));
    return { kind: 'oversize', announcedBytes, topic, payloadHead };
  }
}
