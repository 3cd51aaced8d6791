import type { ReceivedMessage } from '@lineside/ingest';
import { presenceTopic, type Reading, telemetryTopic } from '@lineside/readings';
import type { Chance } from './chance.ts';
import type { Link, SimulatedNetwork } from './simulated-network.ts';
import { TROUBLED_MS, type Troubles } from './troubles.ts';

/** What a node wants to get rid of: kept and sent again until it is acknowledged. */
export interface NodeMessage {
  readonly site: string;
  readonly unit: string;
  readonly payload: Uint8Array;
  /** What is in it; null for one that is no pack. */
  readonly readings: readonly Reading[] | null;
  /** Virtual time from which on it is sent, ms. */
  readonly fromMs: number;
}

/** A message is sent again when it is not acknowledged for so long, ms. */
const RESEND_MS = 7_000;

/** How soon a node connects again, ms. */
const RECONNECT_MS = 4_000;

/** A node or outdoor station at one end of a link. */
export class SimulatedNode implements Link {
  readonly site: string;
  readonly unit: string;
  readonly #network: SimulatedNetwork;
  readonly #chance: Chance;
  readonly #troubles: Troubles;
  readonly #waiting: Set<NodeMessage>;
  readonly #nowMs: () => number;
  /** Counts connections; 0 while there is none. */
  #connection = 0;
  #connections = 0;

  constructor(
    ref: { readonly site: string; readonly unit: string },
    messages: readonly NodeMessage[],
    given: {
      readonly network: SimulatedNetwork;
      readonly chance: Chance;
      readonly troubles: Troubles;
      readonly nowMs: () => number;
    },
  ) {
    this.site = ref.site;
    this.unit = ref.unit;
    this.#waiting = new Set(messages);
    this.#network = given.network;
    this.#chance = given.chance;
    this.#troubles = given.troubles;
    this.#nowMs = given.nowMs;
    this.#network.links.push(this);
  }

  get waiting(): number {
    return this.#waiting.size;
  }

  up(): void {
    if (this.#connection !== 0) return;
    this.#connections += 1;
    this.#connection = this.#connections;
    this.#sayOnline();
    for (const message of this.#waiting) this.#sendWhenDue(message);
    const { areOn, linkHoldsMs } = this.#troubles;
    if (areOn && linkHoldsMs < TROUBLED_MS) {
      const connection = this.#connection;
      const holdsMs = this.#chance.whole(1, 2 * linkHoldsMs);
      setTimeout(() => {
        if (this.#connection === connection && this.#troubles.areOn) this.#breakLink();
      }, holdsMs);
    }
  }

  down(): void {
    this.#connection = 0;
  }

  #breakLink(): void {
    this.down();
    this.#network.broker?.receive({
      ...this.#message(presenceTopic(this.site, this.unit), 'presence', encoded('offline')),
      gone: () => false,
    });
    setTimeout(
      () => {
        if (this.#network.broker !== null) this.up();
      },
      this.#chance.whole(1, RECONNECT_MS),
    );
  }

  #sayOnline(): void {
    let isSaid = false;
    const topic = presenceTopic(this.site, this.unit);
    const message = {
      ...this.#message(topic, 'presence', encoded('online')),
      acknowledge: () => {
        isSaid = true;
      },
    };
    const say = (): void => {
      if (isSaid || message.gone()) return;
      this.#network.send(message);
      setTimeout(say, RESEND_MS);
    };
    say();
  }

  #sendWhenDue(message: NodeMessage): void {
    const topic = telemetryTopic(this.site, this.unit);
    const sent: ReceivedMessage = {
      ...this.#message(topic, 'telemetry', message.payload),
      acknowledge: () => {
        this.#waiting.delete(message);
      },
    };
    const send = (): void => {
      if (!this.#waiting.has(message) || sent.gone()) return;
      this.#network.send(sent);
      setTimeout(send, RESEND_MS);
    };
    setTimeout(send, Math.max(0, message.fromMs - this.#nowMs()));
  }

  #message(topic: string, kind: 'telemetry' | 'presence', payload: Uint8Array): ReceivedMessage {
    const connection = this.#connection;
    return {
      kind,
      identity: { kind: 'node', site: this.site, unit: this.unit },
      topic,
      payload,
      gone: () => this.#connection !== connection,
      acknowledge: () => {},
    };
  }
}

function encoded(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}
