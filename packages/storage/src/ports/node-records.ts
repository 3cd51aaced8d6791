import type { UnitRef } from './record-store.ts';

/** How a unit's node signs in. */
export interface NodeCredential extends UnitRef {
  readonly username: string;
  /** Hash of a long random secret; the secret itself is never kept. */
  readonly secretHash: string;
  /**
   * The same secret's hash as a password file of Mosquitto has it. null: made before these were
   * kept, so that an outside broker cannot be told of it.
   */
  readonly mosquittoHash: string | null;
  readonly createdAtMs: number;
}

/** That a unit's sign-in was taken away. */
export interface NodeRevocation extends UnitRef {
  /** Rises with each revocation, in commit order; the first is above 0. */
  readonly sequence: number;
  readonly atMs: number;
}

export interface NodeRecords {
  /**
   * Creates or replaces the unit's credential, and ends its being revoked. A name of another unit
   * is `STORE_CONFLICT`.
   */
  setNodeCredential(credential: NodeCredential): Promise<void>;
  nodeCredential(username: string): Promise<NodeCredential | null>;
  /** By site and unit. */
  nodeCredentials(): Promise<readonly NodeCredential[]>;
  /** Forgets the unit's credential, if it has one, and keeps that it is revoked. */
  revokeNode(ref: UnitRef, atMs: number): Promise<void>;
  /** Units that were revoked and have no new credential since, by site and unit. */
  revokedNodes(): Promise<readonly UnitRef[]>;
  /** Revocations after `sequence`, oldest first. 0 is the start. */
  revocationsAfter(sequence: number): Promise<readonly NodeRevocation[]>;
}

/** A user of an outside broker that is no node. */
export interface BrokerUser {
  readonly name: string;
  /** Sites whose alarms it may read; null: all of them. */
  readonly sites: readonly string[] | null;
  /** Hash of its secret as a password file of Mosquitto has it. */
  readonly mosquittoHash: string;
  /** The secret itself, kept for our own processes only, which sign in with it; otherwise null. */
  readonly secret: string | null;
  readonly createdAtMs: number;
}

export interface BrokerUserRecords {
  /** Creates or replaces the user of this name. */
  setBrokerUser(user: BrokerUser): Promise<void>;
  /** By name. */
  brokerUsers(): Promise<readonly BrokerUser[]>;
  /** False when there was none of this name. */
  removeBrokerUser(name: string): Promise<boolean>;
}
