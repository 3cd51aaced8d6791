import type { MqttClient } from 'mqtt';
import { leakAmpsAt } from './acknowledged-load.ts';

const STEP_MS = 1_000;
const EVERY_MS = 20;

/**
 * Readings of one unit, a second apart in event time, at a steady rate, whoever acknowledges them:
 * a broker that keeps them for somebody else answers faster than they can ever be stored.
 */
export class PacedLoad {
  /** Event times whose publication was acknowledged. */
  readonly acknowledged: number[] = [];
  readonly #client: MqttClient;
  readonly #topic: string;
  readonly #timer: NodeJS.Timeout;
  #next: number;

  constructor(client: MqttClient, topic: string, fromMs: number, perSecond = 200) {
    this.#client = client;
    this.#topic = topic;
    this.#next = fromMs;
    const atOnce = Math.ceil((perSecond * EVERY_MS) / 1_000);
    this.#timer = setInterval(() => {
      for (let i = 0; i < atOnce; i++) this.#send();
    }, EVERY_MS);
  }

  /** The first event time that was not sent. */
  stop(): number {
    clearInterval(this.#timer);
    return this.#next;
  }

  #send(): void {
    const atMs = this.#next;
    this.#next += STEP_MS;
    const pack = [
      { bt: atMs / 1000, n: 'leak', u: 'A', v: leakAmpsAt(atMs) },
      { n: 'rh', u: '%RH', v: 55 },
    ];
    this.#client.publish(this.#topic, JSON.stringify(pack), { qos: 1 }, (error) => {
      if (!error) this.acknowledged.push(atMs);
    });
  }
}
