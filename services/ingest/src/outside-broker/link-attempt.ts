import { MESSAGE_MOST_BYTES } from '@lineside/readings';
import { type IClientOptions, type IConnackPacket, MqttClient } from 'mqtt';
import { GuardedStream, openSocket } from './guarded-stream.ts';
import type { OutsideBrokerSettings } from './outside-settings.ts';
import { PacketShortener } from './packet-shortener.ts';
import { type Trouble, troubleOf } from './refusals.ts';
import type { ShortenedPublish } from './short-publish.ts';

/** Time for TCP, TLS and the broker's answer; a broker that is there answers within 100 ms. */
const CONNECT_WITHIN_MS = 10_000;

/** Beside the payload: topic, message id, properties. */
const MOST_PACKET_BYTES = MESSAGE_MOST_BYTES + 1024;

export type MqttVersion = 4 | 5;

export interface SessionOptions {
  readonly clientId: string;
  /** False: the broker keeps our subscriptions and what comes for them while we are away. */
  readonly isClean: boolean;
  /** The broker lets us go after one and a half times this without a word, and we the broker. */
  readonly keepaliveSeconds: number;
  /** How long it keeps them, s; said with MQTT 5 only. */
  readonly expirySeconds: number;
  /** Messages under way to us, most; said with MQTT 5 only. */
  readonly mostUnderWay: number;
}

/** One connection, from its first byte on. Each attempt has a client of its own. */
export interface LinkAttempt {
  readonly client: MqttClient;
  readonly stream: GuardedStream;
  readonly version: MqttVersion;
  /** When bytes last came in, ms of `performance.now()`. */
  heardAtMs(): number;
  /** Resolves with CONNACK, or with why it never came. */
  readonly outcome: Promise<IConnackPacket | Trouble>;
  /** Resolves with why it ended. */
  readonly closed: Promise<Trouble>;
}

/** `prepare` is called before the first byte leaves, so that no message can come before it. */
export function attemptLink(
  settings: OutsideBrokerSettings,
  session: SessionOptions,
  version: MqttVersion,
  prepare: (client: MqttClient, stream: GuardedStream, shortened: ShortenedIds) => void,
): LinkAttempt {
  let heardAtMs = performance.now();
  const shortened: ShortenedIds = new Map();
  const shortener = new PacketShortener({
    mostPacketBytes: MOST_PACKET_BYTES,
    isVersion5: version === 5,
    onShortened: (publish) => shortened.set(publish.messageId ?? 0, publish),
  });
  const stream = new GuardedStream(openSocket(settings), shortener, () => {
    heardAtMs = performance.now();
  });
  const client = new MqttClient(() => stream, clientOptions(settings, session, version));
  prepare(client, stream, shortened);
  let lastError: Trouble | null = null;
  client.on('error', (error) => {
    lastError ??= troubleOf(error);
  });
  stream.on('error', (error) => {
    lastError ??= troubleOf(error);
  });
  client.on('disconnect', ({ reasonCode }) => {
    lastError ??= disconnected(reasonCode ?? 0);
  });
  const closed = new Promise<Trouble>((resolve) => {
    client.once('close', () => {
      resolve(lastError ?? { kind: 'out', reason: 'the broker closed the connection' });
    });
  });
  const connected = new Promise<IConnackPacket>((resolve) => client.once('connect', resolve));
  client.connect();
  return {
    client,
    stream,
    version,
    heardAtMs: () => heardAtMs,
    outcome: Promise.race([connected, closed]),
    closed,
  };
}

/** Publishes that were too long, by message id (0 for QoS 0), until they are handled. */
export type ShortenedIds = Map<number, ShortenedPublish>;

function clientOptions(
  settings: OutsideBrokerSettings,
  session: SessionOptions,
  version: MqttVersion,
): IClientOptions {
  const { username, password } = settings;
  return {
    protocolVersion: version,
    clientId: session.clientId,
    clean: session.isClean,
    keepalive: session.keepaliveSeconds,
    connectTimeout: CONNECT_WITHIN_MS,
    // A lost connection gets a new client: this one would send again what is out of date by then.
    reconnectPeriod: 0,
    resubscribe: false,
    manualConnect: true,
    // Its debug log gathers what it would say for each packet, even when nobody reads it.
    log: () => {},
    ...(username === null ? {} : { username }),
    ...(password === null ? {} : { password }),
    ...(version === 5
      ? {
          properties: {
            sessionExpiryInterval: session.expirySeconds,
            receiveMaximum: session.mostUnderWay,
          },
        }
      : {}),
  };
}

/** MQTT 5 section 3.14.2.1. */
const SESSION_TAKEN_OVER = 142;

function disconnected(reasonCode: number): Trouble {
  if (reasonCode === SESSION_TAKEN_OVER) {
    return {
      kind: 'out',
      reason:
        'another client came with our client id: each ingest at one broker needs its own ' +
        '(LINESIDE_MQTT_CLIENT_ID)',
    };
  }
  return { kind: 'out', reason: `the broker ended the connection, reason ${reasonCode}` };
}
