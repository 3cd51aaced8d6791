import type { IConnackPacket, IPublishPacket, ISubscriptionMap, MqttClient } from 'mqtt';
import type { BrokerParts } from '../broker/broker.ts';
import type { GuardedStream } from './guarded-stream.ts';
import type { LinkAttempt, ShortenedIds } from './link-attempt.ts';
import { RefusedByBroker } from './refusals.ts';
import { TopicSenders } from './topic-senders.ts';
import { Unacknowledged, type UnacknowledgedLimits } from './unacknowledged.ts';

/** What nodes and outdoor stations send. */
const FILTERS: readonly string[] = ['lineside/+/+/telemetry', 'lineside/+/+/presence'];

/**
 * An error in place of an answer makes the client go on without acknowledging, and do nothing else.
 * That is how it behaves, not what it promises: tests/contracts/mqtt-client.test.ts watches it.
 */
const NOT_YET = new Error('acknowledged after the commit');

/** Takes what nodes publish from the broker, and acknowledges each message after its commit. */
export class MessageReceiver {
  readonly #parts: Pick<BrokerParts, 'onMessage' | 'onOversize' | 'onPresenceLost'>;
  readonly #limits: UnacknowledgedLimits;
  readonly #senders = new TopicSenders();
  #unacknowledged: Unacknowledged | null = null;
  #isClosing = false;

  constructor(
    parts: Pick<BrokerParts, 'onMessage' | 'onOversize' | 'onPresenceLost'>,
    limits: UnacknowledgedLimits,
  ) {
    this.#parts = parts;
    this.#limits = limits;
  }

  /** Of the connection that stands: taken and not committed. */
  get unacknowledgedMessages(): number {
    return this.#unacknowledged?.messages ?? 0;
  }

  /** True while nothing is read from the broker, since too much is not committed. */
  get isHeld(): boolean {
    return this.#unacknowledged?.isHeld ?? false;
  }

  /** No new message; what was taken can still be acknowledged. */
  stopTaking(): void {
    this.#isClosing = true;
  }

  /** To be called before the connection's first byte. */
  prepare(client: MqttClient, stream: GuardedStream, shortened: ShortenedIds): void {
    const unacknowledged = new Unacknowledged(stream, this.#limits);
    this.#unacknowledged = unacknowledged;
    const gone = (): boolean => stream.destroyed;
    client.handleMessage = (packet, done) => {
      // Not answering stops the client from reading: the broker keeps what is not acknowledged.
      if (this.#isClosing) return;
      const messageId = packet.qos === 0 ? null : (packet.messageId ?? null);
      const settle = unacknowledged.take(messageId, packet.payload.length);
      this.#hand(packet, gone, settle, shortened);
      unacknowledged.whenRoom(() => done(messageId === null ? undefined : NOT_YET));
    };
  }

  /**
   * Subscribes, at each connection anew: the broker then sends the retained presence of all nodes,
   * and a session that it lost is made again.
   */
  async subscribe({ client, version }: LinkAttempt, connack: IConnackPacket): Promise<void> {
    // Without a session nothing that nodes said meanwhile was kept.
    if (!connack.sessionPresent) await this.#parts.onPresenceLost();
    const filters: ISubscriptionMap = {};
    for (const filter of FILTERS) {
      const isTelemetry = filter.endsWith('/telemetry');
      // Retained telemetry of a node that sets the flag by mistake: once is enough.
      filters[filter] = version === 5 ? { qos: 1, rh: isTelemetry ? 1 : 0 } : { qos: 1 };
    }
    const refused = (words: string): RefusedByBroker =>
      new RefusedByBroker(`the broker refuses our subscription to what nodes send: ${words}`);
    try {
      const grants = await client.subscribeAsync(filters);
      const low = grants.find(({ qos }) => qos !== 1);
      if (low !== undefined) throw refused(`it grants QoS ${low.qos} for ${low.topic}`);
    } catch (error) {
      // A connection that ended meanwhile tells why by itself.
      if (!client.connected || error instanceof RefusedByBroker) throw error;
      throw refused(error instanceof Error ? error.message : String(error));
    }
  }

  #hand(
    { topic, payload, messageId }: IPublishPacket,
    gone: () => boolean,
    acknowledge: () => void,
    shortened: ShortenedIds,
  ): void {
    const bytes = typeof payload === 'string' ? Buffer.from(payload) : payload;
    const { kind, identity } = this.#senders.of(topic);
    const whole = shortened.size === 0 ? undefined : shortened.get(messageId ?? 0);
    if (whole === undefined || whole.topic !== topic) {
      this.#parts.onMessage({ kind, identity, topic, payload: bytes, gone, acknowledge });
      return;
    }
    shortened.delete(messageId ?? 0);
    const { announcedBytes } = whole;
    this.#parts.onOversize({ topic, announcedBytes, payloadHead: bytes, gone, acknowledge });
  }
}
