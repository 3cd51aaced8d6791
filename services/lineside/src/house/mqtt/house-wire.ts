import { randomUUID } from 'node:crypto';
import type { IClientOptions, MqttClient } from 'mqtt';
import mqtt from 'mqtt';
import type { Logger } from 'pino';
import { z } from 'zod';
import { answersTopic } from './topics.ts';

/** Between two tries to connect: soon enough for people, nothing for a broker. */
const RECONNECT_MS = 1_000;

/** For the connection and its sign-in; a broker on the same host answers within milliseconds. */
const CONNECT_WITHIN_MS = 5_000;

/** After a broker refused a subscription: it may be told better meanwhile. */
const SUBSCRIBE_AGAIN_MS = 5_000;

/** A broker that is gone without a word is noticed after one and a half of these. */
const KEEPALIVE_SECONDS = 10;

/** What may wait in the socket of a broker that reads slowly; hints beyond it are dropped. */
const UNSENT_MOST_BYTES = 4 * 1_048_576;

/** Reason codes from here on refuse a subscription, MQTT 3.1.1 section 3.9.3. */
const SUBSCRIPTION_REFUSED = 0x80;

/** How to reach the broker as Lineside's own user. */
export interface WireAddress {
  /** For people: without user name and password. */
  readonly url: string;
  readonly username: string | null;
  readonly password: string | null;
  /** PEM texts; null: without TLS. The broker's certificate is always verified. */
  readonly tls: {
    readonly ca: string | null;
    readonly certificate: string | null;
    readonly key: string | null;
  } | null;
}

export type WireState = { readonly isUp: true } | { readonly isUp: false; readonly reason: string };

type Answering = (question: unknown) => Promise<unknown>;

const questionShape = z.object({ id: z.string(), answerTo: z.string(), question: z.unknown() });
const answerShape = z.object({ id: z.string(), answer: z.unknown() });

/**
 * Messages between the processes of one house over an MQTT broker: JSON, QoS 0, nothing retained,
 * nothing kept for who is away. It connects by itself, as often as needed; whoever starts first
 * waits for nobody.
 */
export class HouseWire {
  readonly #client: MqttClient;
  readonly #log: Logger;
  readonly #ownId: string = randomUUID();
  readonly #heard = new Map<string, (message: unknown) => void>();
  readonly #asked = new Map<string, (answer: unknown) => void>();
  readonly #onUp = new Set<() => void>();
  readonly #url: string;
  #state: WireState = { isUp: false, reason: 'not connected yet' };
  #again: NodeJS.Timeout | null = null;
  #isClosed = false;

  constructor(address: WireAddress, log: Logger) {
    this.#log = log;
    this.#url = address.url;
    this.#heard.set(answersTopic(this.#ownId), (message) => this.#answered(message));
    this.#client = mqtt.connect(address.url, clientOptions(address, this.#ownId));
    this.#client.on('connect', () => this.#connected());
    this.#client.on('message', (topic, payload) => this.#take(topic, payload));
    this.#client.on('error', (error) => this.#lost(error.message || String(error)));
    this.#client.on('close', () => this.#lost('the connection ended'));
  }

  get state(): WireState {
    return this.#state;
  }

  /** Calls back after each start of a connection: what was told before it was not heard. */
  onUp(listener: () => void): void {
    this.#onUp.add(listener);
    if (this.#state.isUp) listener();
  }

  /** Hears one topic, from the next connection on at the latest. One listener a topic. */
  hear(topic: string, listener: (message: unknown) => void): void {
    this.#heard.set(topic, listener);
    if (this.#client.connected) this.#subscribe([topic], () => {});
  }

  /** Tells whoever hears it. False when it is dropped: nobody is connected, or the broker is slow. */
  tell(topic: string, message: unknown): boolean {
    const unsentBytes = this.#client.stream?.writableLength ?? 0;
    if (!this.#state.isUp || unsentBytes > UNSENT_MOST_BYTES) return false;
    this.#client.publish(topic, JSON.stringify(message), { qos: 0 });
    return true;
  }

  /** Answers each question that comes on a topic; one that rejects is not answered. */
  answer(topic: string, answering: Answering): void {
    this.hear(topic, (message) => {
      const asked = questionShape.safeParse(message);
      if (asked.success) void this.#give(answering, asked.data);
    });
  }

  /** Rejects when no answer comes in time. */
  ask(topic: string, question: unknown, withinMs: number): Promise<unknown> {
    const id = randomUUID();
    return new Promise((resolve, reject) => {
      const end = (): void => {
        clearTimeout(timer);
        this.#asked.delete(id);
      };
      const timer = setTimeout(() => {
        end();
        reject(new Error(`no answer within ${withinMs / 1000} s`));
      }, withinMs);
      this.#asked.set(id, (answer) => {
        end();
        resolve(answer);
      });
      if (!this.tell(topic, { id, answerTo: answersTopic(this.#ownId), question })) {
        end();
        reject(new Error(`the broker at ${this.#url} is away`));
      }
    });
  }

  async close(): Promise<void> {
    this.#isClosed = true;
    this.#state = { isUp: false, reason: 'closed' };
    if (this.#again !== null) clearTimeout(this.#again);
    await this.#client.endAsync(!this.#client.connected);
  }

  #connected(): void {
    this.#subscribe([...this.#heard.keys()], () => {
      if (this.#isClosed) return;
      if (!this.#state.isUp)
        this.#log.info(
          { broker: this.#url },
          'connected to the broker, our processes hear each other',
        );
      this.#state = { isUp: true };
      for (const listener of this.#onUp) listener();
    });
  }

  #subscribe(topics: string[], done: () => void): void {
    this.#client.subscribe(topics, { qos: 0 }, (error, granted) => {
      const refused = granted?.find(({ qos }) => qos >= SUBSCRIPTION_REFUSED);
      if (error === null && refused === undefined) {
        done();
        return;
      }
      const what = refused === undefined ? error?.message : `may not hear ${refused.topic}`;
      this.#lost(`${what}; let Lineside's user read and write lineside-house/#`);
      this.#again ??= setTimeout(() => {
        this.#again = null;
        if (!this.#isClosed && this.#client.connected) this.#connected();
      }, SUBSCRIBE_AGAIN_MS).unref();
    });
  }

  #lost(reason: string): void {
    if (this.#isClosed) return;
    const before = this.#state;
    // What comes first tells more than the end of the connection that follows.
    if (!before.isUp && reason === 'the connection ended') return;
    if (before.isUp || before.reason !== reason) {
      const words = 'no connection to the broker, by which our processes hear each other: ';
      this.#log.warn({ broker: this.#url }, `${words}${reason}; it is tried again`);
    }
    this.#state = { isUp: false, reason };
  }

  #take(topic: string, payload: Buffer): void {
    try {
      this.#heard.get(topic)?.(JSON.parse(payload.toString('utf8')));
    } catch (error) {
      this.#log.warn({ err: error, topic }, 'a message on the house line cannot be read');
    }
  }

  #answered(message: unknown): void {
    const { id, answer } = answerShape.parse(message);
    this.#asked.get(id)?.(answer);
  }

  async #give(answering: Answering, asked: z.infer<typeof questionShape>): Promise<void> {
    try {
      this.tell(asked.answerTo, { id: asked.id, answer: await answering(asked.question) });
    } catch (error) {
      this.#log.warn({ err: error }, 'a question on the house line stays without an answer');
    }
  }
}

function clientOptions({ username, password, tls }: WireAddress, ownId: string): IClientOptions {
  return {
    clientId: `lineside-house-${ownId}`,
    clean: true,
    resubscribe: false,
    queueQoSZero: false,
    reconnectPeriod: RECONNECT_MS,
    // A user or password that is not known yet may be told to the broker at any time.
    reconnectOnConnackError: true,
    connectTimeout: CONNECT_WITHIN_MS,
    keepalive: KEEPALIVE_SECONDS,
    ...(username === null ? {} : { username }),
    ...(password === null ? {} : { password }),
    ...(tls === null
      ? {}
      : {
          rejectUnauthorized: true,
          ...(tls.ca === null ? {} : { ca: tls.ca }),
          ...(tls.certificate === null ? {} : { cert: tls.certificate }),
          ...(tls.key === null ? {} : { key: tls.key }),
        }),
  };
}
