import type { ChannelKind, OutboxMessage } from '@lineside/storage';
import type { DelivererLimits } from './limits.ts';

/** What is in flight: never two of one id, and no more at once than the limits let. */
export class Flights {
  readonly #limits: DelivererLimits;
  readonly #byId = new Map<
    string,
    { readonly message: OutboxMessage; readonly end: Promise<void> }
  >();

  constructor(limits: DelivererLimits) {
    this.#limits = limits;
  }

  get count(): number {
    return this.#byId.size;
  }

  ids(): ReadonlySet<string> {
    return new Set(this.#byId.keys());
  }

  hasRoom(channel: ChannelKind, contact: string): boolean {
    let ofChannel = 0;
    let ofContact = 0;
    for (const { message } of this.#byId.values()) {
      if (message.channel === channel) ofChannel += 1;
      if (message.contact === contact) ofContact += 1;
    }
    const { inFlightPerChannel, inFlightPerContact } = this.#limits;
    return ofChannel < inFlightPerChannel && ofContact < inFlightPerContact;
  }

  /** Takes off at once; `fly` never rejects. `landed` runs when it is over. */
  start(message: OutboxMessage, fly: () => Promise<void>, landed: () => void): void {
    const end = fly().then(() => {
      this.#byId.delete(message.id);
      landed();
    });
    this.#byId.set(message.id, { message, end });
  }

  /** Resolves when all that are in flight now are over. */
  async allLanded(): Promise<void> {
    await Promise.all([...this.#byId.values()].map(({ end }) => end));
  }
}
