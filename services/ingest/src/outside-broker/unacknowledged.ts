import { Buffer } from 'node:buffer';
import type { Duplex } from 'node:stream';

/**
 * Messages of one connection that are taken and not acknowledged, most. Half a second at 20,000 a
 * second, many commits; what the broker sends again after a kill is at most this.
 */
export const MOST_UNACKNOWLEDGED_MESSAGES = 10_000;

/** Bytes of their payloads, most: 32 of the largest messages, thousands of usual ones. */
export const MOST_UNACKNOWLEDGED_BYTES: number = 32 * 1024 * 1024;

/** Reading goes on below this share of the limits, so that it does not stop and go for each one. */
const GO_ON_BELOW = 0.5;

const PUBACK = 0x40;
const PUBACK_BYTES = 4;

export interface UnacknowledgedLimits {
  readonly messages: number;
  readonly bytes: number;
}

interface Taken {
  readonly messageId: number;
  settled: boolean;
}

/**
 * What one connection was given and has not acknowledged. Acknowledgements leave in the order in
 * which the messages came, as MQTT 3.1.1 and 5 want it (section 4.6), joined to one write for all
 * that were settled at once.
 */
export class Unacknowledged {
  readonly #stream: Duplex;
  readonly #limits: UnacknowledgedLimits;
  #inOrder: Taken[] = [];
  #messages = 0;
  #bytes = 0;
  #waiting: (() => void) | null = null;
  #isFlushDue = false;

  constructor(stream: Duplex, limits: UnacknowledgedLimits) {
    this.#stream = stream;
    this.#limits = limits;
  }

  /** Taken and not settled. */
  get messages(): number {
    return this.#messages;
  }

  /** True while reading is held up for want of room. */
  get isHeld(): boolean {
    return this.#waiting !== null;
  }

  /** Notes a message; what it gives settles it. A null id (QoS 0) needs no acknowledgement. */
  take(messageId: number | null, bytes: number): () => void {
    const taken = messageId === null ? null : { messageId, settled: false };
    if (taken !== null) this.#inOrder.push(taken);
    this.#messages += 1;
    this.#bytes += bytes;
    return () => {
      this.#messages -= 1;
      this.#bytes -= bytes;
      if (taken !== null) {
        taken.settled = true;
        this.#flushSoon();
      }
      this.#goOn();
    };
  }

  /** Calls back once there is room for another message: at once, or when enough is settled. */
  whenRoom(goOn: () => void): void {
    const { messages, bytes } = this.#limits;
    if (this.#messages < messages && this.#bytes < bytes) goOn();
    else this.#waiting = goOn;
  }

  #goOn(): void {
    const goOn = this.#waiting;
    const { messages, bytes } = this.#limits;
    const isRoom = this.#messages <= messages * GO_ON_BELOW && this.#bytes <= bytes * GO_ON_BELOW;
    if (goOn === null || !isRoom) return;
    this.#waiting = null;
    goOn();
  }

  #flushSoon(): void {
    if (this.#isFlushDue) return;
    this.#isFlushDue = true;
    queueMicrotask(() => {
      this.#isFlushDue = false;
      this.flush();
    });
  }

  /** Writes the acknowledgements that are due. */
  flush(): void {
    let count = 0;
    while (this.#inOrder[count]?.settled === true) count += 1;
    if (count === 0) return;
    const due = this.#inOrder.slice(0, count);
    this.#inOrder = this.#inOrder.slice(count);
    if (this.#stream.destroyed || !this.#stream.writable) return;
    const packets = Buffer.allocUnsafe(PUBACK_BYTES * count);
    due.forEach(({ messageId }, index) => {
      packets.writeUInt16BE((PUBACK << 8) | 2, index * PUBACK_BYTES);
      packets.writeUInt16BE(messageId, index * PUBACK_BYTES + 2);
    });
    this.#stream.write(packets);
  }
}
