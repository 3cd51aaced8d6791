import type { BrokerDoor, BrokerParts, ReceivedMessage } from '@lineside/ingest';
import type { Chance } from './chance.ts';
import type { Troubles } from './troubles.ts';

/** The service's end of the network; one for each life of the service. */
export class SimulatedBroker implements BrokerDoor {
  /** Retained messages; a new life begins without any. */
  readonly retained: Map<string, string> = new Map();
  readonly refusedConnections = 0;
  readonly isCutOff = false;
  readonly nodesConnectHere = true;
  readonly #parts: BrokerParts;
  readonly #network: SimulatedNetwork;
  #isOpen = false;
  #unanswered = 0;
  #isCut = false;

  constructor(parts: BrokerParts, network: SimulatedNetwork) {
    this.#parts = parts;
    this.#network = network;
  }

  get port(): number {
    return this.#isOpen ? 1883 : 0;
  }

  get unacknowledgedMessages(): number {
    return this.#unanswered;
  }

  get state(): BrokerDoor['state'] {
    return this.#isOpen ? { state: 'ok', reason: null } : { state: 'down', reason: 'closed' };
  }

  get connections(): number {
    return this.#isOpen ? this.#network.links.length : 0;
  }

  async prepare(): Promise<void> {}

  async open(): Promise<void> {
    if (this.#isCut) return;
    this.#isOpen = true;
    this.#network.opened(this);
  }

  async publishRetained(topic: string, payload: string): Promise<void> {
    if (payload === '') this.retained.delete(topic);
    else this.retained.set(topic, payload);
  }

  stopTaking(): void {
    this.#isOpen = false;
  }

  async close(): Promise<void> {
    this.stopTaking();
    this.#network.closed(this);
  }

  /** The process is gone: nothing comes in, no acknowledgement leaves. */
  cut(): void {
    this.#isCut = true;
    this.#isOpen = false;
    this.#network.closed(this);
  }

  receive(message: ReceivedMessage): void {
    if (!this.#isOpen) return;
    const acknowledge = (): void => {
      if (this.#isCut) return;
      this.#unanswered -= 1;
      this.#network.onAcknowledge(message);
      message.acknowledge();
    };
    this.#unanswered += 1;
    this.#parts.onMessage({ ...message, acknowledge });
  }
}

/** The side of a node that the network talks to. */
export interface Link {
  /** The service listens: there is somebody to send to. */
  up(): void;
  /** The connection is gone, with everything that was on its way. */
  down(): void;
}

/** Ways between nodes and the service that lose, repeat, delay and reorder. */
export class SimulatedNetwork {
  readonly links: Link[] = [];
  /** Called when the service acknowledges something, before anybody else hears of it. */
  onAcknowledge: (message: ReceivedMessage) => void = () => {};
  readonly #chance: Chance;
  readonly #troubles: Troubles;
  #broker: SimulatedBroker | null = null;

  constructor(chance: Chance, troubles: Troubles) {
    this.#chance = chance;
    this.#troubles = troubles;
  }

  get broker(): SimulatedBroker | null {
    return this.#broker;
  }

  opened(broker: SimulatedBroker): void {
    this.#broker = broker;
    for (const link of this.links) link.up();
  }

  closed(broker: SimulatedBroker): void {
    if (this.#broker !== broker) return;
    this.#broker = null;
    for (const link of this.links) link.down();
  }

  /** Brings a message to the service, or not, once or twice, sooner or later. */
  send(message: ReceivedMessage): void {
    for (let copies = this.#copies(); copies > 0; copies -= 1) {
      this.#later(() => {
        if (!message.gone())
          this.#broker?.receive({ ...message, acknowledge: this.#once(message) });
      });
    }
  }

  /** Each copy is acknowledged by itself; each acknowledgement has its own way back. */
  #once(message: ReceivedMessage): () => void {
    return () => {
      if (this.#isLost()) return;
      const arrive = (): void => {
        if (!message.gone()) message.acknowledge();
      };
      // Some are on the wire at once: a node may know before the service has judged anything.
      if (this.#chance.happens(0.5)) arrive();
      else this.#later(arrive);
    };
  }

  #copies(): number {
    if (this.#isLost()) return 0;
    return this.#troubles.areOn && this.#chance.happens(this.#troubles.repeated) ? 2 : 1;
  }

  #isLost(): boolean {
    return this.#troubles.areOn && this.#chance.happens(this.#troubles.lost);
  }

  #later(action: () => void): void {
    const { areOn, delayMs } = this.#troubles;
    setTimeout(action, areOn ? this.#chance.whole(0, delayMs) : 1);
  }
}
