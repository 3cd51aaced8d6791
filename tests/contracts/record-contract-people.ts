import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { expectFailure, type MakePlace, type RecordPlace } from './record-place.ts';
import { invitation, MINUTE_MS, NOW_MS, person, SITE, session } from './record-samples.ts';

/** Tokens, people, invitations, failed sign-ins and sessions. */
export function recordPeopleContract(make: MakePlace): void {
  let place: RecordPlace;
  beforeEach(async () => {
    place = await make();
  });
  afterEach(() => place.dispose());

  describe('tokens', () => {
    it('are found by their hash alone', async () => {
      const { store } = place;
      const office = {
        id: 't1',
        tokenHash: 'h1',
        role: 'office',
        sites: null,
        createdAtMs: NOW_MS,
      } as const;
      const viewer = { ...office, id: 't2', tokenHash: 'h2', role: 'viewer', sites: [] } as const;
      const guest = { ...viewer, id: 't3', tokenHash: 'h3', sites: [SITE] } as const;
      for (const token of [office, viewer, guest]) await store.addToken(token);
      for (const token of [office, viewer, guest]) {
        expect(await store.tokenByHash(token.tokenHash)).toEqual(token);
      }
      expect(await store.tokenByHash('t1')).toBeNull();
      await expectFailure(store.addToken({ ...guest, id: 't4' }), 'STORE_CONFLICT');
      const role = JSON.parse('"king"');
      const king = { ...office, id: 't5', tokenHash: 'h5', role };
      await expectFailure(store.addToken(king), 'STORE_BAD_INPUT');
      expect(await store.tokenByHash('h5')).toBeNull();
    });
  });

  describe('invitations', () => {
    it('let one person in, once', async () => {
      const { store } = place;
      expect(await store.countPeople()).toBe(0);
      const link = invitation('secret', 'viewer');
      await store.addInvitation(link);
      expect(await store.invitation('secret')).toEqual(link);
      const rosa = person('p1', 'Rosa.Ängström');
      expect(await store.acceptInvitation('secret', rosa, NOW_MS)).toBe(true);
      expect(await store.invitation('secret')).toBeNull();
      expect(await store.countPeople()).toBe(1);
      expect(await store.person('p1')).toEqual(rosa);
      for (const name of ['Rosa.Ängström', 'rosa.ängström', 'ROSA.ÄNGSTRÖM']) {
        expect(await store.personByUsername(name)).toEqual(rosa);
      }
      expect(await store.acceptInvitation('secret', person('p2', 'emil'), NOW_MS)).toBe(false);
      expect(await store.person('p2')).toBeNull();
      expect(await store.personByUsername('emil')).toBeNull();
    });

    it('that are unknown or at their end add nobody', async () => {
      const { store } = place;
      const link = invitation('secret');
      await store.addInvitation(link);
      const rosa = person('p1', 'rosa');
      expect(await store.acceptInvitation('other', rosa, NOW_MS)).toBe(false);
      expect(await store.acceptInvitation('secret', rosa, link.expiresAtMs)).toBe(false);
      expect(await store.countPeople()).toBe(0);
      expect(await store.acceptInvitation('secret', rosa, link.expiresAtMs - 1)).toBe(true);
    });

    it('taken by two at once let one in', async () => {
      const other = await place.another();
      await place.store.addInvitation(invitation('secret'));
      const results = await Promise.all([
        place.store.acceptInvitation('secret', person('p1', 'rosa'), NOW_MS),
        other.acceptInvitation('secret', person('p2', 'emil'), NOW_MS),
      ]);
      expect([...results].sort()).toEqual([false, true]);
      expect(await place.store.countPeople()).toBe(1);
    });

    it('stay good when the user name is taken', async () => {
      const { store } = place;
      await store.addInvitation(invitation('first'));
      await store.addInvitation(invitation('second'));
      await store.acceptInvitation('first', person('p1', 'rosa'), NOW_MS);
      const again = store.acceptInvitation('second', person('p2', 'ROSA'), NOW_MS);
      await expectFailure(again, 'STORE_CONFLICT');
      expect(await store.invitation('second')).toEqual(invitation('second'));
      expect(await store.acceptInvitation('second', person('p2', 'emil'), NOW_MS)).toBe(true);
    });
  });

  describe('failed sign-ins', () => {
    it('are counted for a name in any case, known or not', async () => {
      const { store } = place;
      expect(await store.signInFailures('rosa')).toEqual({ count: 0, lastAtMs: 0 });
      await store.setSignInFailures('Rosa', { count: 1, lastAtMs: NOW_MS });
      await store.setSignInFailures('ROSA', { count: 2, lastAtMs: NOW_MS + 1 });
      expect(await store.signInFailures('rosa')).toEqual({ count: 2, lastAtMs: NOW_MS + 1 });
      await store.setSignInFailures('rosa', { count: 0, lastAtMs: 0 });
      expect(await store.signInFailures('Rosa')).toEqual({ count: 0, lastAtMs: 0 });
      const backwards = store.setSignInFailures('rosa', { count: -1, lastAtMs: NOW_MS });
      await expectFailure(backwards, 'STORE_BAD_INPUT');
    });
  });

  describe('sessions', () => {
    it('are found until they are ended or forgotten', async () => {
      const { store } = place;
      await store.addInvitation(invitation('secret'));
      await store.acceptInvitation('secret', person('p1', 'rosa'), NOW_MS);
      const early = session('early', 'p1');
      const late = { ...session('late', 'p1'), expiresAtMs: NOW_MS + 5 * MINUTE_MS };
      await store.addSession(early);
      await store.addSession(late);
      expect(await store.sessionByHash('early')).toEqual(early);
      await store.forgetSessionsBefore(early.expiresAtMs);
      expect(await store.sessionByHash('early')).toBeNull();
      expect(await store.sessionByHash('late')).toEqual(late);
      await store.endSession('late');
      await store.endSession('late');
      expect(await store.sessionByHash('late')).toBeNull();
    });

    it('are prolonged when they are added again', async () => {
      const { store } = place;
      await store.addInvitation(invitation('secret'));
      await store.acceptInvitation('secret', person('p1', 'rosa'), NOW_MS);
      const longer = { ...session('s1', 'p1'), expiresAtMs: NOW_MS + 9 * MINUTE_MS };
      await store.addSession(session('s1', 'p1'));
      await store.addSession(longer);
      expect(await store.sessionByHash('s1')).toEqual(longer);
    });

    it('belong to a person who is there', async () => {
      const { store } = place;
      await expectFailure(store.addSession(session('s1', 'nobody')), 'STORE_BAD_INPUT');
      expect(await store.sessionByHash('s1')).toBeNull();
    });
  });
}
