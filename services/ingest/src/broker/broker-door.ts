import type { IngestSettings, PartState } from '../ingest.ts';
import type { BrokerParts } from './broker.ts';

/** What the service uses of its broker: messages come in by `BrokerParts.onMessage`. */
export interface BrokerDoor {
  /** The port that it listens on, 0 while it does not; 0 always for an outside broker. */
  readonly port: number;
  readonly connections: number;
  /** Connections turned away since the start because too many stood. */
  readonly refusedConnections: number;
  /** Taken and not acknowledged. */
  readonly unacknowledgedMessages: number;
  readonly state: PartState;
  /** True while no node can reach us although it may be well: its silence says nothing. */
  readonly isCutOff: boolean;
  /** True when nodes have their connections with this process, and lose them when it ends. */
  readonly nodesConnectHere: boolean;
  /** Makes it able to keep retained topics; nobody can connect yet. */
  prepare(): Promise<void>;
  open(): Promise<void>;
  /**
   * Sets the retained message of a topic; an empty payload removes it. Resolves once that is done,
   * or once an outside broker is to be told as soon as it can be.
   */
  publishRetained(topic: string, payload: string): Promise<void>;
  /** New certificate and key for connections from now on; absent where somebody else has them. */
  renewTls?(tls: NonNullable<IngestSettings['tls']>): void;
  /** No new connection, no new message; what was taken can still be acknowledged. */
  stopTaking(): void;
  close(): Promise<void>;
}

export type MakeBroker = (parts: BrokerParts) => BrokerDoor;
