import { parseTopic } from '@lineside/readings';
import type { MqttClient } from 'mqtt';
import type { Logger } from 'pino';
import type { LinkAttempt } from './link-attempt.ts';

/** Every topic that is ours to set. */
const ALARM_FILTER = 'lineside/+/+/alarm/+';

/** Alarm topics under way to the broker, most: enough that the way there and back is hidden. */
const MOST_UNDER_WAY = 50;

/** Time for the broker to send what it retains, ms; thousands of topics take a second. */
const RETAINED_WITHIN_MS = 15_000;

/** Time for what is under way when closing, ms. */
const DRAIN_WITHIN_MS = 1_000;

/**
 * Keeps the retained alarm topics at the broker as they are wanted, also over its and our own
 * restarts: at each connection it looks at what the broker retains, and sets or empties what
 * differs. Bounded by the topics that there are; only the newest state of each waits.
 */
export class AlarmBoard {
  readonly #log: Logger;
  readonly #markTopic: string;
  /** What is wanted; a topic that is not here is to be empty. */
  readonly #wanted = new Map<string, string>();
  #due = new Set<string>();
  #underWay = 0;
  #client: MqttClient | null = null;
  #refusal: string | null = null;
  #onDrained: (() => void) | null = null;

  constructor(clientId: string, log: Logger) {
    this.#log = log;
    this.#markTopic = `lineside-house/${clientId}/retained`;
  }

  /** Why the broker does not take alarm topics; null while it does. */
  get refusal(): string | null {
    return this.#refusal;
  }

  /** Topics that are not yet at the broker as they are wanted. */
  get due(): number {
    return this.#due.size + this.#underWay;
  }

  /** Wants a topic to hold this; empty removes it. */
  set(topic: string, payload: string): void {
    if (payload === '') this.#wanted.delete(topic);
    else this.#wanted.set(topic, payload);
    this.#due.add(topic);
    this.#pump();
  }

  /** Takes up a new connection: compares what the broker retains, then keeps it in step. */
  async connected({ client, closed }: LinkAttempt): Promise<void> {
    const isSame = await this.#compare(client);
    for (const topic of this.#wanted.keys()) {
      if (!isSame.has(topic)) this.#due.add(topic);
    }
    this.#client = client;
    this.#underWay = 0;
    this.#refusal = null;
    void closed.then(() => {
      if (this.#client === client) this.#client = null;
    });
    this.#pump();
  }

  /** Resolves when all is at the broker, or after a second. */
  async drain(): Promise<void> {
    if (this.#client === null || this.due === 0) return;
    await Promise.race([
      new Promise<void>((resolve) => {
        this.#onDrained = resolve;
      }),
      new Promise((resolve) => setTimeout(resolve, DRAIN_WITHIN_MS)),
    ]);
  }

  /**
   * Looks at what the broker retains: topics that differ from what is wanted become due, those that
   * do not are given. The broker sends to one client in order, so what we publish last, to a topic
   * of our own, comes back after all that is retained.
   */
  async #compare(client: MqttClient): Promise<ReadonlySet<string>> {
    const isSame = new Set<string>();
    let onMark: (isThere: boolean) => void = () => {};
    const mark = new Promise<boolean>((resolve) => {
      onMark = resolve;
    });
    const timer = setTimeout(() => onMark(false), RETAINED_WITHIN_MS);
    client.on('message', (topic, payload, { retain }) => {
      if (topic === this.#markTopic) onMark(true);
      // What is not retained is our own, coming back.
      else if (retain && parseTopic(topic)?.type === 'alarm') {
        if (this.#wanted.get(topic) === payload.toString('utf8')) isSame.add(topic);
        else this.#due.add(topic);
      }
    });
    client.once('close', () => onMark(false));
    await client.subscribeAsync([ALARM_FILTER, this.#markTopic], { qos: 1 });
    await client.publishAsync(this.#markTopic, 'all', { qos: 1 });
    if (!(await mark) && client.connected) {
      this.#log.warn(
        `the broker does not give ${this.#markTopic} back to us: alarm topics of an earlier ` +
          'life may stay; let our user read and write lineside-house/#',
      );
    }
    clearTimeout(timer);
    if (client.connected) await client.unsubscribeAsync([ALARM_FILTER, this.#markTopic]);
    client.removeAllListeners('message');
    return isSame;
  }

  #pump(): void {
    const client = this.#client;
    if (client === null) return;
    for (const topic of this.#due) {
      if (this.#underWay >= MOST_UNDER_WAY) return;
      this.#due.delete(topic);
      this.#publish(client, topic);
    }
    if (this.due === 0) this.#onDrained?.();
  }

  #publish(client: MqttClient, topic: string): void {
    this.#underWay += 1;
    const payload = this.#wanted.get(topic) ?? '';
    client.publish(topic, payload, { qos: 1, retain: true }, (error) => {
      // A connection that ended: the next one compares everything.
      if (this.#client !== client) return;
      this.#underWay -= 1;
      if (error) this.#refused(topic, error);
      this.#pump();
    });
  }

  #refused(topic: string, error: Error): void {
    const reason = `the broker refuses alarm topics: ${error.message}`;
    if (this.#refusal !== reason) this.#log.error(`${reason} (${topic})`);
    this.#refusal = reason;
  }
}
