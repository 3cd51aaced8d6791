import type { BrokerParts } from '../broker/broker.ts';
import type { BrokerDoor } from '../broker/broker-door.ts';
import type { PartState } from '../ingest.ts';
import { AlarmBoard } from './alarm-board.ts';
import { BrokerLink, type LinkState } from './broker-link.ts';
import { MessageReceiver } from './message-receiver.ts';
import type { OutsideBrokerSettings } from './outside-settings.ts';
import { MOST_UNACKNOWLEDGED_BYTES, MOST_UNACKNOWLEDGED_MESSAGES } from './unacknowledged.ts';

/** How long the broker keeps what comes for us while we are away: a week, a long repair. */
const SESSION_EXPIRY_SECONDS = 7 * 86_400;

/** How long a start waits for the broker; one that is there answers within 100 ms. */
const FIRST_CONNECTION_WITHIN_MS = 5_000;

/** A broker that hangs is noticed after one and a half times this, s; limits of silence are minutes. */
const KEEPALIVE_SECONDS = 20;

/** Limits that tests make smaller. */
export interface OutsideBrokerLimits {
  /** Messages that are taken and not acknowledged, and bytes of their payloads. */
  readonly messages: number;
  readonly bytes: number;
  readonly keepaliveSeconds: number;
}

/** Thrown by `open` when a person has to change something before the broker lets us in. */
export class OutsideBrokerRefused extends Error {
  override readonly name = 'OutsideBrokerRefused';
}

/** A broker that somebody else runs. We are its client, with a session that it keeps for us. */
export class OutsideBroker implements BrokerDoor {
  readonly port = 0;
  readonly refusedConnections = 0;
  readonly nodesConnectHere = false;
  readonly #settings: OutsideBrokerSettings;
  readonly #receiver: MessageReceiver;
  readonly #board: AlarmBoard;
  readonly #messages: BrokerLink;
  readonly #alarms: BrokerLink;

  constructor(
    parts: BrokerParts,
    settings: OutsideBrokerSettings,
    limits: OutsideBrokerLimits = {
      messages: MOST_UNACKNOWLEDGED_MESSAGES,
      bytes: MOST_UNACKNOWLEDGED_BYTES,
      keepaliveSeconds: KEEPALIVE_SECONDS,
    },
  ) {
    const { log } = parts;
    const { clientId } = settings;
    this.#settings = settings;
    const receiver = new MessageReceiver(parts, limits);
    this.#receiver = receiver;
    this.#messages = new BrokerLink({
      settings,
      log,
      purpose: 'what nodes send',
      session: {
        clientId,
        isClean: false,
        keepaliveSeconds: limits.keepaliveSeconds,
        expirySeconds: SESSION_EXPIRY_SECONDS,
        mostUnderWay: Math.min(65_535, limits.messages),
      },
      prepare: (client, stream, shortened) => receiver.prepare(client, stream, shortened),
      onConnected: (link, connack) => receiver.subscribe(link, connack),
      isHeld: () => receiver.isHeld,
    });
    // Of its own: alarm topics must not wait behind readings that nobody reads for now.
    const board = new AlarmBoard(clientId, log);
    this.#board = board;
    this.#alarms = new BrokerLink({
      settings,
      log,
      purpose: 'alarm topics',
      session: {
        clientId: `${clientId}-alarms`,
        isClean: true,
        keepaliveSeconds: limits.keepaliveSeconds,
        expirySeconds: 0,
        mostUnderWay: 100,
      },
      onConnected: (link) => board.connected(link),
    });
  }

  /** 1 while we are connected: how many nodes are is known to the broker alone. */
  get connections(): number {
    return this.#messages.state.isUp ? 1 : 0;
  }

  get unacknowledgedMessages(): number {
    return this.#receiver.unacknowledgedMessages;
  }

  get isCutOff(): boolean {
    return !this.#messages.state.isUp;
  }

  get state(): PartState {
    const messages = this.#messages.state;
    if (!messages.isUp) return { state: 'down', reason: this.#downInWords(messages) };
    const alarms = this.#alarms.state;
    if (!alarms.isUp) {
      return { state: 'degraded', reason: `alarm topics: ${this.#downInWords(alarms)}` };
    }
    const { refusal } = this.#board;
    return refusal === null
      ? { state: 'ok', reason: null }
      : { state: 'degraded', reason: refusal };
  }

  async prepare(): Promise<void> {}

  /**
   * Connects, and goes on without when the broker is out: it is tried until it answers.
   * Throws `OutsideBrokerRefused` when it answers and does not let us in.
   */
  async open(): Promise<void> {
    await this.#messages.open(FIRST_CONNECTION_WITHIN_MS);
    const { state } = this.#messages;
    if (!state.isUp && state.trouble.kind === 'refused') {
      throw new OutsideBrokerRefused(`${this.#settings.url}: ${state.trouble.reason}`);
    }
    await this.#alarms.open(state.isUp ? FIRST_CONNECTION_WITHIN_MS : 0);
  }

  async publishRetained(topic: string, payload: string): Promise<void> {
    this.#board.set(topic, payload);
  }

  stopTaking(): void {
    this.#receiver.stopTaking();
  }

  async close(): Promise<void> {
    this.stopTaking();
    await this.#board.drain();
    await Promise.all([this.#messages.close(), this.#alarms.close()]);
  }

  #downInWords(state: Extract<LinkState, { isUp: false }>): string {
    const seconds = Math.round((performance.now() - state.sinceMs) / 1000);
    return `no connection to ${this.#settings.url} for ${seconds} s: ${state.trouble.reason}`;
  }
}
