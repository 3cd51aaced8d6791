import { performance } from 'node:perf_hooks';
import type { Client, PublishPacket } from 'aedes';
import type { Logger } from 'pino';
import type { IngestSettings, PartState } from '../ingest.ts';
import type { BrokerDoor } from './broker-door.ts';
import type { CredentialRecords, Identity } from './identity.ts';
import { CONNECT_TIMEOUT_MS, type Listener, listen, MOST_CONNECTIONS } from './listener.ts';
import { RevocationWatch } from './revocation-watch.ts';
import { MOST_FILTERS_PER_CONNECTION, Session } from './session.ts';
import { signIn } from './sign-in.ts';
import { guardSocket } from './socket-guard.ts';
import { mayReceive, maySubscribe, type PublishKind, publishKind } from './topic-rules.ts';
import { UnroutedBroker } from './unrouted-broker.ts';

/** How often connections are looked through for broken keep-alive promises. */
const KEEP_ALIVE_SWEEP_MS = 1_000;

/** What a client published, or what its last will says. */
export interface ReceivedMessage {
  readonly kind: PublishKind;
  readonly identity: Identity | null;
  readonly topic: string;
  readonly payload: Uint8Array;
  /** True once the peer has gone: it will send again what was not acknowledged. */
  readonly gone: () => boolean;
  /** Lets the acknowledgement leave. To be called at most once. */
  readonly acknowledge: () => void;
}

/** A packet that was too large and was not read whole. */
export interface OversizeMessage {
  /** Its topic when it could be read, else the client id. */
  readonly topic: string;
  readonly announcedBytes: number;
  readonly payloadHead: Uint8Array;
  /** As in `ReceivedMessage`, where the connection could be kept. */
  readonly gone?: () => boolean;
  readonly acknowledge?: () => void;
}

export interface BrokerParts {
  readonly records: CredentialRecords;
  readonly log: Logger;
  readonly settings: IngestSettings;
  readonly onMessage: (message: ReceivedMessage) => void;
  readonly onOversize: (message: OversizeMessage) => void;
  /** Called when nothing is known any more of who is connected. */
  readonly onPresenceLost: () => Promise<void>;
  /** Told of each sign-in that was refused. */
  readonly onRefusedSignIn?: () => void;
  readonly mostConnections?: number;
}

/** The embedded MQTT 3.1.1 broker: who may do what, and nothing about readings. */
export class Broker implements BrokerDoor {
  readonly #parts: BrokerParts;
  readonly #aedes: UnroutedBroker;
  readonly nodesConnectHere = true;
  readonly isCutOff = false;
  readonly #sessions = new Map<Client, Session>();
  readonly #revocations: RevocationWatch;
  #listener: Listener | null = null;
  #sweep: NodeJS.Timeout | null = null;
  #closing = false;
  #refusedConnections = 0;

  constructor(parts: BrokerParts) {
    this.#parts = parts;
    this.#revocations = new RevocationWatch({
      records: parts.records,
      log: parts.log,
      nowMs: () => performance.now(),
      endConnections: (username, beforeMs) => this.#endRevoked(username, beforeMs),
    });
    this.#aedes = new UnroutedBroker({
      connectTimeout: CONNECT_TIMEOUT_MS,
      preConnect: (client, packet, done) => {
        const session = this.#sessions.get(client);
        if (session !== undefined) {
          session.clientId = packet.clientId;
          session.silenceAllowedMs = (packet.keepalive ?? 0) * 1500;
        }
        // Kept here instead: the broker's own timer cannot tell a silent peer from one whose bytes
        // wait unread because we withhold an acknowledgement.
        packet.keepalive = 0;
        // A kept session would queue without bound for a peer that never returns.
        packet.clean = true;
        done(this.#closing ? new Error('shutting down') : null, !this.#closing);
      },
      authenticate: (client, username, password, done) => {
        const session = this.#sessions.get(client);
        if (session === undefined) {
          done(null, false);
          return;
        }
        session.signInBeganMs = performance.now();
        signIn({ client, session, username, password, ...parts }, done);
      },
      authorizePublish: (client, packet, done) => this.#published(client, packet, done),
      authorizeSubscribe: (client, subscription, done) => {
        const session = this.#sessions.get(client);
        const allowed =
          session !== undefined &&
          maySubscribe(session.identity, subscription.topic) &&
          session.filters.size < MOST_FILTERS_PER_CONNECTION;
        if (allowed) {
          session.filters.add(subscription.topic);
        }
        done(null, allowed ? subscription : null);
      },
      authorizeForward: (client, packet) =>
        mayReceive(this.#sessions.get(client)?.identity ?? null, packet.topic) ? packet : null,
    });
  }

  get port(): number {
    return this.#listener?.port ?? 0;
  }

  get connections(): number {
    return this.#sessions.size;
  }

  /** Connections turned away since the start because too many stood. */
  get refusedConnections(): number {
    return this.#refusedConnections;
  }

  get isFull(): boolean {
    return this.#sessions.size >= (this.#parts.mostConnections ?? MOST_CONNECTIONS);
  }

  get unacknowledgedMessages(): number {
    let sum = 0;
    for (const session of this.#sessions.values()) sum += session.withheld;
    return sum;
  }

  get state(): PartState {
    if (this.#closing || this.port === 0) return { state: 'down', reason: 'not listening' };
    return this.isFull
      ? { state: 'degraded', reason: 'too many connections: further ones are refused' }
      : { state: 'ok', reason: null };
  }

  /** Makes the broker able to keep retained topics; nobody can connect yet. */
  async prepare(): Promise<void> {
    const { log } = this.#parts;
    this.#aedes.onFailure((error) => log.error({ err: error }, 'broker failed'));
    this.#aedes.on('clientError', (client, error) =>
      log.debug({ client: client.id, reason: error.message }, 'connection ended'),
    );
    this.#aedes.on('connectionError', (_client, error) =>
      log.debug({ reason: error.message }, 'connection ended before sign-in'),
    );
    this.#aedes.on('unsubscribe', (filters, client) => {
      for (const filter of filters) {
        this.#sessions.get(client)?.filters.delete(filter);
      }
    });
    await this.#aedes.listen();
  }

  async open(): Promise<void> {
    // What was revoked before anybody can connect concerns nobody who is connected.
    await this.#revocations.look();
    this.#revocations.start();
    this.#listener = await listen(
      this.#parts.settings,
      this.#parts.mostConnections ?? MOST_CONNECTIONS,
      (socket) => this.#accept(socket),
      () => this.#refuseConnection(),
    );
    this.#sweep = setInterval(() => this.#endSilentConnections(), KEEP_ALIVE_SWEEP_MS);
    this.#sweep.unref();
  }

  /** Sets the retained message of a topic; an empty payload removes it. */
  publishRetained(topic: string, payload: string): Promise<void> {
    return new Promise((resolve, reject) => {
      this.#aedes.publish(
        { cmd: 'publish', topic, payload, qos: 1, retain: true, dup: false },
        (error) => (error ? reject(error) : resolve()),
      );
    });
  }

  renewTls(tls: NonNullable<IngestSettings['tls']>): void {
    this.#listener?.renewTls(tls);
  }

  /** No new connection, no new message; what was taken can still be acknowledged. */
  stopTaking(): void {
    this.#closing = true;
    this.#listener?.stop();
  }

  async close(): Promise<void> {
    this.stopTaking();
    if (this.#sweep !== null) {
      clearInterval(this.#sweep);
    }
    this.#revocations.stop();
    await new Promise<void>((resolve) => this.#aedes.close(resolve));
  }

  #accept(socket: Parameters<UnroutedBroker['handle']>[0]): void {
    const session = new Session(performance.now());
    guardSocket(socket, {
      heard: () => session.heard(performance.now()),
      oversize: (packet) => {
        // Nobody unknown may fill the quarantine.
        if (session.identity !== null) {
          this.#parts.onOversize({
            topic: packet.topic ?? session.clientId ?? '',
            announcedBytes: packet.announcedBytes,
            payloadHead: packet.payloadHead,
          });
        }
      },
    });
    const client = this.#aedes.handle(socket);
    this.#sessions.set(client, session);
    socket.once('close', () => this.#sessions.delete(client));
  }

  #published(
    client: Client | null,
    packet: PublishPacket,
    done: (error?: Error | null) => void,
  ): void {
    const session = client === null ? undefined : this.#sessions.get(client);
    const identity = session?.identity ?? null;
    if (this.#closing) {
      // The peer sends it again, and a last will on our own shutdown says nothing about a node.
      return;
    }
    const kind = publishKind(identity, packet.topic);
    if (kind !== 'presence') {
      packet.retain = false;
      this.#aedes.keepFromRouting(packet);
    }
    session?.withhold();
    const { payload } = packet;
    // A last will comes from a connection that has ended, and will not come again.
    const isLastWill = client === null || client.closed;
    this.#parts.onMessage({
      kind,
      identity,
      topic: packet.topic,
      payload: typeof payload === 'string' ? Buffer.from(payload) : payload,
      gone: () => !isLastWill && client.closed,
      acknowledge: () => {
        session?.release(performance.now());
        done();
      },
    });
  }

  #endSilentConnections(): void {
    const nowMs = performance.now();
    for (const [client, session] of this.#sessions) {
      if (session.fellSilent(nowMs)) {
        this.#parts.log.debug({ client: client.id }, 'keep-alive time passed, connection closed');
        client.close();
      }
    }
  }

  #endRevoked(username: string, signedInBeforeMs: number): void {
    for (const [client, { identity, signInBeganMs }] of this.#sessions) {
      if (
        identity?.kind === 'node' &&
        `${identity.site}/${identity.unit}` === username &&
        signInBeganMs < signedInBeforeMs
      ) {
        this.#parts.log.info({ username }, 'sign-in was revoked, connection closed');
        client.close();
      }
    }
  }

  #refuseConnection(): void {
    this.#refusedConnections += 1;
    if (this.#refusedConnections === 1) {
      this.#parts.log.warn('too many connections: further ones are refused until some end');
    }
  }
}
