import { type PeopleRecords, ROLES } from '@lineside/storage';
import { badInput, checkTimes } from './port-rules.ts';
import { conflict, type RecordDisk } from './record-disk.ts';
import type { Synchronous } from './store-lane.ts';

type SignInPart = Pick<
  PeopleRecords,
  | 'signInFailures'
  | 'setSignInFailures'
  | 'addSession'
  | 'sessionByHash'
  | 'endSession'
  | 'forgetSessionsBefore'
>;

export function memoryPeople(disk: RecordDisk): Synchronous<PeopleRecords> {
  return { ...memoryInvited(disk), ...memorySignIns(disk) };
}

function memoryInvited(disk: RecordDisk): Synchronous<Omit<PeopleRecords, keyof SignInPart>> {
  const byName = (username: string) =>
    [...disk.people.values()].find((one) => folded(one.username) === folded(username)) ?? null;
  return {
    addToken: (token) => {
      const isTaken = [...disk.tokens.values()].some(
        ({ id, tokenHash }) => id === token.id || tokenHash === token.tokenHash,
      );
      if (isTaken) throw conflict(`token ${token.id} is there`);
      if (!ROLES.includes(token.role)) throw badInput(`${token.role} is no role`);
      disk.tokens.set(token.tokenHash, token);
    },
    tokenByHash: (tokenHash) => disk.tokens.get(tokenHash) ?? null,
    countPeople: () => disk.people.size,
    addInvitation: (invitation) => {
      disk.invitations.set(invitation.secretHash, invitation);
    },
    invitation: (secretHash) => disk.invitations.get(secretHash) ?? null,
    acceptInvitation: (secretHash, person, nowMs) => {
      const link = disk.invitations.get(secretHash);
      if (link === undefined || link.expiresAtMs <= nowMs) return false;
      if (byName(person.username) !== null) throw conflict(`${person.username} is taken`);
      disk.invitations.delete(secretHash);
      disk.people.set(person.id, person);
      return true;
    },
    personByUsername: byName,
    person: (id) => disk.people.get(id) ?? null,
  };
}

function memorySignIns(disk: RecordDisk): Synchronous<SignInPart> {
  return {
    signInFailures: (username) => disk.failures.get(folded(username)) ?? { count: 0, lastAtMs: 0 },
    setSignInFailures: (username, failures) => {
      if (failures.count < 0) throw badInput(`${failures.count} failures cannot be`);
      checkTimes('A failed sign-in', failures.lastAtMs);
      if (failures.count === 0) disk.failures.delete(folded(username));
      else disk.failures.set(folded(username), failures);
    },
    addSession: (session) => {
      if (!disk.people.has(session.personId)) throw badInput(`nobody is ${session.personId}`);
      const before = disk.sessions.get(session.sessionHash) ?? session;
      disk.sessions.set(session.sessionHash, { ...before, expiresAtMs: session.expiresAtMs });
    },
    sessionByHash: (sessionHash) => disk.sessions.get(sessionHash) ?? null,
    endSession: (sessionHash) => {
      disk.sessions.delete(sessionHash);
    },
    forgetSessionsBefore: (nowMs) => {
      for (const { sessionHash, expiresAtMs } of [...disk.sessions.values()]) {
        if (expiresAtMs <= nowMs) disk.sessions.delete(sessionHash);
      }
    },
  };
}

function folded(username: string): string {
  return username.normalize('NFC').toLowerCase();
}
