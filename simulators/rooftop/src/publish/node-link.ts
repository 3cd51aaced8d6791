import {
  encodeSenmlCbor,
  encodeSenmlJson,
  presenceTopic,
  telemetryTopic,
} from '@lineside/readings';
import mqtt, { type MqttClient } from 'mqtt';
import type { SimulatedReading } from '../world/unit-world.ts';

/** Readings of one pack: about 70 KiB of JSON with all channels, well under the 256 KiB limit. */
export const PACK_MOST_READINGS = 120;

/** Packs on their way without a PUBACK: enough to hide the round trip, little to send again. */
const WINDOW_PACKS = 3;

/** What a node remembers while it cannot send: a week at one reading a minute; oldest go first. */
const BACKLOG_MOST_READINGS = 10_080;

const RECONNECT_MS = 1000;
const CONNECT_TIMEOUT_MS = 10_000;
const KEEPALIVE_SECONDS = 30;

export interface NodeCredentials {
  readonly username: string;
  readonly password: string;
}

export interface NodeLinkOptions {
  readonly mqttUrl: string;
  readonly site: string;
  readonly unit: string;
  readonly credentials: NodeCredentials;
  readonly encoding: 'json' | 'cbor';
}

interface Pack {
  readonly readings: readonly SimulatedReading[];
  acknowledged: boolean;
}

interface Waiter {
  readonly met: () => boolean;
  readonly resolve: () => void;
  readonly reject: (reason: Error) => void;
}

/**
 * One node's connection: sends its backlog oldest first in packs, at QoS 1, a few in flight. After
 * a lost connection it connects again by itself and repeats what was not acknowledged.
 */
export class NodeLink {
  private readonly options: NodeLinkOptions;
  private client: MqttClient | null = null;
  private online = false;
  private backlog: SimulatedReading[] = [];
  /** On their way, oldest first. */
  private packs: Pack[] = [];
  private readonly waiters = new Set<Waiter>();
  private failure: Error | null = null;
  private acknowledgedThroughMs: number | null = null;

  constructor(options: NodeLinkOptions) {
    this.options = options;
  }

  /** Event time through which everything is acknowledged; null before the first PUBACK. */
  get sentThroughMs(): number | null {
    return this.acknowledgedThroughMs;
  }

  /** True between `connect` and `drop`, also while the connection is lost and sought again. */
  get connecting(): boolean {
    return this.client !== null;
  }

  connect(): void {
    if (this.client !== null) return;
    const { mqttUrl, site, unit, credentials } = this.options;
    const client = mqtt.connect(mqttUrl, {
      ...credentials,
      clientId: `rooftop-${site}-${unit}`,
      protocolVersion: 4,
      clean: true,
      keepalive: KEEPALIVE_SECONDS,
      reconnectPeriod: RECONNECT_MS,
      connectTimeout: CONNECT_TIMEOUT_MS,
      will: {
        topic: presenceTopic(site, unit),
        payload: Buffer.from('offline'),
        qos: 1,
        retain: true,
      },
    });
    this.client = client;
    client.on('connect', () => {
      this.online = true;
      client.publish(presenceTopic(site, unit), 'online', { qos: 1, retain: true });
      this.pump();
    });
    client.on('close', () => {
      this.online = false;
    });
    client.on('error', (error) => this.noticeError(error));
  }

  /** Adds readings to the backlog; they must be later than those before. */
  enqueue(readings: readonly SimulatedReading[]): void {
    this.backlog.push(...readings);
    const over = this.backlog.length - BACKLOG_MOST_READINGS;
    if (over > 0) this.backlog.splice(0, over);
    this.pump();
  }

  /** Resolves when the backlog fits into the window. */
  room(): Promise<void> {
    return this.until(() => this.backlog.length < PACK_MOST_READINGS);
  }

  /** Resolves when everything is acknowledged. */
  drained(): Promise<void> {
    return this.until(() => this.backlog.length === 0 && this.packs.length === 0);
  }

  /**
   * Vanishes as a node does that lost its power: without a farewell, so that the broker publishes
   * the last will. What is in the backlog stays for the next `connect`.
   */
  async drop(): Promise<void> {
    const { client } = this;
    this.client = null;
    this.online = false;
    const unsent = this.packs.filter((pack) => !pack.acknowledged);
    this.packs = [];
    this.backlog.unshift(...unsent.flatMap((pack) => pack.readings));
    await client?.endAsync(true);
  }

  /** Whoever waits for the link, now or later, is told `reason`. The first reason stays. */
  fail(reason: Error): void {
    this.failure ??= reason;
    this.wake();
  }

  throwIfFailed(): void {
    if (this.failure !== null) throw this.failure;
  }

  private pump(): void {
    const { client } = this;
    while (client !== null && this.online && this.backlog.length > 0) {
      if (this.packs.length >= WINDOW_PACKS) break;
      this.publish(client, this.backlog.splice(0, PACK_MOST_READINGS));
    }
    this.wake();
  }

  private publish(client: MqttClient, readings: readonly SimulatedReading[]): void {
    const { site, unit, encoding } = this.options;
    const encode = encoding === 'json' ? encodeSenmlJson : encodeSenmlCbor;
    const payload = Buffer.from(encode(`${site}/${unit}:`, readings));
    const pack: Pack = { readings, acknowledged: false };
    this.packs.push(pack);
    client.publish(telemetryTopic(site, unit), payload, { qos: 1 }, (error) => {
      // An error means that the client was ended; `drop` has taken the pack back by then.
      if (error instanceof Error) return;
      pack.acknowledged = true;
      this.forgetAcknowledged();
      this.pump();
    });
  }

  private forgetAcknowledged(): void {
    for (let first = this.packs[0]; first?.acknowledged === true; first = this.packs[0]) {
      this.packs.shift();
      this.acknowledgedThroughMs = first.readings.at(-1)?.atMs ?? this.acknowledgedThroughMs;
    }
  }

  private noticeError(error: Error): void {
    const code = 'code' in error ? error.code : null;
    // CONNACK 4 and 5 of MQTT 3.1.1: bad user name or password, not authorised. The rest passes.
    if (code !== 4 && code !== 5) return;
    const { site, unit, credentials } = this.options;
    this.fail(
      new Error(
        `the broker refused the sign-in of ${site}/${unit} as ${credentials.username}; ` +
          'create its credentials anew',
        { cause: error },
      ),
    );
  }

  private until(met: () => boolean): Promise<void> {
    if (this.failure !== null) return Promise.reject(this.failure);
    if (met()) return Promise.resolve();
    return new Promise((resolve, reject) => {
      this.waiters.add({ met, resolve, reject });
    });
  }

  private wake(): void {
    for (const waiter of this.waiters) {
      if (this.failure !== null) waiter.reject(this.failure);
      else if (waiter.met()) waiter.resolve();
      else continue;
      this.waiters.delete(waiter);
    }
  }
}
