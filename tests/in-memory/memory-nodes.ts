import type { BrokerUserRecords, NodeRecords, UnitRef } from '@lineside/storage';
import { badInput, checkTimes } from './port-rules.ts';
import { conflict, type RecordDisk, refKey } from './record-disk.ts';
import type { Synchronous } from './store-lane.ts';

export function memoryNodes(disk: RecordDisk): Synchronous<NodeRecords & BrokerUserRecords> {
  const credentialsOf = (ref: UnitRef) =>
    [...disk.credentials.values()].filter((one) => refKey(one) === refKey(ref));
  const forget = (ref: UnitRef): void => {
    for (const { username } of credentialsOf(ref)) disk.credentials.delete(username);
  };
  return {
    setNodeCredential: (credential) => {
      checkTimes('A credential', credential.createdAtMs);
      const { username } = credential;
      if (username === '') throw badInput('a credential needs a user name');
      const holder = disk.credentials.get(username);
      if (holder !== undefined && refKey(holder) !== refKey(credential)) {
        throw conflict(`${username} belongs to another unit`);
      }
      forget(credential);
      disk.credentials.set(username, credential);
    },
    nodeCredential: (username) => disk.credentials.get(username) ?? null,
    nodeCredentials: () => [...disk.credentials.values()].sort(byUnit),
    revokeNode: ({ site, unit }, atMs) => {
      checkTimes('A revocation', atMs);
      forget({ site, unit });
      disk.revocations.push({ sequence: disk.revocations.length + 1, site, unit, atMs });
    },
    revokedNodes: () => {
      const refs = disk.revocations.map(({ site, unit }) => ({ site, unit }));
      const revoked = refs.filter((ref) => credentialsOf(ref).length === 0);
      return [...new Map(revoked.map((ref) => [refKey(ref), ref])).values()].sort(byUnit);
    },
    revocationsAfter: (sequence) => disk.revocations.filter((one) => one.sequence > sequence),
    setBrokerUser: (user) => {
      checkTimes('A user', user.createdAtMs);
      if (user.name === '') throw badInput('a user needs a name');
      disk.brokerUsers.set(user.name, user);
    },
    brokerUsers: () =>
      [...disk.brokerUsers.values()].sort((one, other) => (one.name < other.name ? -1 : 1)),
    removeBrokerUser: (name) => disk.brokerUsers.delete(name),
  };
}

function byUnit(one: UnitRef, other: UnitRef): number {
  if (one.site !== other.site) return one.site < other.site ? -1 : 1;
  if (one.unit === other.unit) return 0;
  return one.unit < other.unit ? -1 : 1;
}
