import type { BrokerParts } from './broker.ts';

/** What the service uses of its broker: messages come in by `BrokerParts.onMessage`. */
export interface BrokerDoor {
  /** The port that it listens on, 0 while it does not. */
  readonly port: number;
  readonly connections: number;
  /** Connections turned away since the start because too many stood. */
  readonly refusedConnections: number;
  readonly isFull: boolean;
  /** Makes it able to keep retained topics; nobody can connect yet. */
  prepare(): Promise<void>;
  open(): Promise<void>;
  /** Sets the retained message of a topic; an empty payload removes it. */
  publishRetained(topic: string, payload: string): Promise<void>;
  /** No new connection, no new message; what was taken can still be acknowledged. */
  stopTaking(): void;
  close(): Promise<void>;
}

export type MakeBroker = (parts: BrokerParts) => BrokerDoor;
