import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { expectFailure, type MakePlace, type RecordPlace } from './record-place.ts';
import { NOW_MS, SITE, UNIT } from './record-samples.ts';

const REF = { site: SITE, unit: UNIT };
const OTHER = { site: SITE, unit: 'rtu-02' };

/** Who may sign in at the broker, embedded or outside: nodes, and users of an outside one. */
export function recordSignInContract(make: MakePlace): void {
  let place: RecordPlace;
  beforeEach(async () => {
    place = await make();
  });
  afterEach(() => place.dispose());

  const credential = {
    ...REF,
    username: 'n1',
    secretHash: 'first',
    mosquittoHash: null,
    createdAtMs: NOW_MS,
  };

  describe('node credentials', () => {
    it('are found by user name and replaced with the unit', async () => {
      const { store } = place;
      expect(await store.nodeCredential('n1')).toBeNull();
      await store.setNodeCredential(credential);
      expect(await store.nodeCredential('n1')).toEqual(credential);
      const rotated = {
        ...credential,
        secretHash: 'second',
        mosquittoHash: '$7$1$c2FsdA==$aGFzaA==',
        createdAtMs: NOW_MS + 1,
      };
      await store.setNodeCredential(rotated);
      expect(await store.nodeCredential('n1')).toEqual(rotated);
      const renamed = { ...rotated, username: 'n2' };
      await store.setNodeCredential(renamed);
      expect(await store.nodeCredential('n1')).toBeNull();
      expect(await store.nodeCredential('n2')).toEqual(renamed);
    });

    it('refuse the user name of another unit, and keep both as they are', async () => {
      const { store } = place;
      const second = { ...credential, ...OTHER, username: 'n2' };
      await store.setNodeCredential(credential);
      await store.setNodeCredential(second);
      const thief = { ...second, username: 'n1' };
      await expectFailure(store.setNodeCredential(thief), 'STORE_CONFLICT');
      expect(await store.nodeCredential('n1')).toEqual(credential);
      expect(await store.nodeCredential('n2')).toEqual(second);
    });

    it('are listed by site and unit', async () => {
      const { store } = place;
      expect(await store.nodeCredentials()).toEqual([]);
      const list = [
        { ...credential, site: 'a', unit: 'z', username: 'n1' },
        { ...credential, site: 'a-b', unit: 'a', username: 'n3' },
        { ...credential, site: 'a-b', unit: 'b', username: 'n2' },
      ];
      for (const one of [...list].reverse()) await store.setNodeCredential(one);
      expect(await store.nodeCredentials()).toEqual(list);
    });
  });

  describe('revoked nodes', () => {
    it('have no credential until they get a new one', async () => {
      const { store } = place;
      await store.setNodeCredential(credential);
      await store.setNodeCredential({ ...credential, ...OTHER, username: 'n2' });
      expect(await store.revokedNodes()).toEqual([]);
      await store.revokeNode(REF, NOW_MS);
      expect(await store.nodeCredential('n1')).toBeNull();
      expect(await store.nodeCredential('n2')).not.toBeNull();
      expect(await store.revokedNodes()).toEqual([REF]);
      await store.setNodeCredential(credential);
      expect(await store.revokedNodes()).toEqual([]);
      expect(await store.nodeCredential('n1')).toEqual(credential);
    });

    it('need not have had a credential, and may be revoked twice', async () => {
      const { store } = place;
      await store.revokeNode(OTHER, NOW_MS);
      await store.revokeNode(OTHER, NOW_MS + 1);
      await store.revokeNode(REF, NOW_MS + 2);
      expect(await store.revokedNodes()).toEqual([REF, OTHER]);
    });

    it('are told in the order in which they were revoked, whatever came after', async () => {
      const { store } = place;
      expect(await store.revocationsAfter(0)).toEqual([]);
      await store.revokeNode(OTHER, NOW_MS);
      const [first] = await store.revocationsAfter(0);
      expect(first).toEqual({ ...OTHER, sequence: first?.sequence, atMs: NOW_MS });
      await store.revokeNode(REF, NOW_MS + 1);
      await store.setNodeCredential(credential);
      const later = await store.revocationsAfter(first?.sequence ?? 0);
      expect(later).toMatchObject([{ ...REF, atMs: NOW_MS + 1 }]);
      expect(later[0]?.sequence).toBeGreaterThan(first?.sequence ?? 0);
      expect(await store.revocationsAfter(later[0]?.sequence ?? 0)).toEqual([]);
    });

    it('are not kept with an impossible time, and keep their credential then', async () => {
      const { store } = place;
      await store.setNodeCredential(credential);
      await expectFailure(store.revokeNode(REF, Number.NaN), 'STORE_BAD_INPUT');
      expect(await store.revokedNodes()).toEqual([]);
      expect(await store.nodeCredential('n1')).toEqual(credential);
    });
  });

  describe('users of an outside broker', () => {
    const reader = {
      name: 'board',
      sites: [SITE, 'north-depot'],
      mosquittoHash: 'hash',
      secret: null,
      createdAtMs: NOW_MS,
    };

    it('are listed by name, replaced by name and removed', async () => {
      const { store } = place;
      const ours = { ...reader, name: 'archive', sites: null, secret: 'open sesame' };
      expect(await store.brokerUsers()).toEqual([]);
      await store.setBrokerUser(reader);
      await store.setBrokerUser(ours);
      expect(await store.brokerUsers()).toEqual([ours, reader]);
      const changed = { ...reader, sites: [], mosquittoHash: 'other', createdAtMs: NOW_MS + 1 };
      await store.setBrokerUser(changed);
      expect(await store.brokerUsers()).toEqual([ours, changed]);
      expect(await store.removeBrokerUser('board')).toBe(true);
      expect(await store.removeBrokerUser('board')).toBe(false);
      expect(await store.brokerUsers()).toEqual([ours]);
    });

    it('need a name', async () => {
      const { store } = place;
      await expectFailure(store.setBrokerUser({ ...reader, name: '' }), 'STORE_BAD_INPUT');
      expect(await store.brokerUsers()).toEqual([]);
    });
  });
}
