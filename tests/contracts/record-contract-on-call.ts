import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { expectFailure, type MakePlace, type RecordPlace } from './record-place.ts';
import { NOW_MS } from './record-samples.ts';
import { contact } from './record-samples-alerting.ts';

/** The rota, how people are reached, and the secrets of the house. */
export function recordOnCallContract(make: MakePlace): void {
  let place: RecordPlace;
  beforeEach(async () => {
    place = await make();
  });
  afterEach(() => place.dispose());

  describe('the rota', () => {
    it('is null at first, and then what was saved last', async () => {
      const { store } = place;
      expect(await store.loadRota()).toBeNull();
      const document = { turns: [{ person: 'ana', note: 'täglich', until: null }] };
      await store.saveRota(document, 0);
      expect(await store.loadRota()).toEqual({ generation: 1, document });
      await store.saveRota(['other'], 1);
      expect(await store.loadRota()).toEqual({ generation: 2, document: ['other'] });
    });

    it('that is based on another generation is a conflict and changes nothing', async () => {
      const { store } = place;
      await expectFailure(store.saveRota('early', 1), 'STORE_CONFLICT');
      expect(await store.loadRota()).toBeNull();
      await store.saveRota('first', 0);
      for (const wrong of [0, 2]) {
        await expectFailure(store.saveRota('other', wrong), 'STORE_CONFLICT');
      }
      expect(await store.loadRota()).toEqual({ generation: 1, document: 'first' });
    });

    it('of two programs at once is taken from one', async () => {
      const other = await place.another();
      const saves = [place.store.saveRota('one', 0), other.saveRota('two', 0)];
      const outcomes = await Promise.allSettled(saves);
      const won = outcomes.findIndex(({ status }) => status === 'fulfilled');
      expect(outcomes.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected']);
      const document = won === 0 ? 'one' : 'two';
      expect(await other.loadRota()).toEqual({ generation: 1, document });
    });

    it('that is no JSON is refused', async () => {
      const { store } = place;
      await expectFailure(store.saveRota(undefined, 0), 'STORE_BAD_INPUT');
      expect(await store.loadRota()).toBeNull();
    });
  });

  describe('contact points', () => {
    it('are listed by id', async () => {
      const { store } = place;
      expect(await store.contactPoints()).toEqual([]);
      const office = contact('c.2', { person: null, channel: 'webhook', origin: 'device' });
      await store.setContactPoint(contact('c_3'));
      await store.setContactPoint(contact('c-1'));
      await store.setContactPoint(office);
      expect(await store.contactPoints()).toEqual([contact('c-1'), office, contact('c_3')]);
    });

    it('replace the one with the same id', async () => {
      const { store } = place;
      const later = contact('c1', {
        person: 'rosa',
        channel: 'web-push',
        name: 'phone of Rosa',
        address: 'elsewhere',
        createdAtMs: NOW_MS + 1,
        origin: 'device',
      });
      await store.setContactPoint(contact('c1'));
      await store.setContactPoint(later);
      expect(await store.contactPoints()).toEqual([later]);
    });

    it('go when they are removed, also those that are not there', async () => {
      const { store } = place;
      await store.setContactPoint(contact('c1'));
      await store.setContactPoint(contact('c2'));
      await store.removeContactPoint('c1');
      await store.removeContactPoint('c1');
      await store.removeContactPoint('never');
      expect(await store.contactPoints()).toEqual([contact('c2')]);
    });

    it('that are none are refused', async () => {
      const { store } = place;
      const broken = [
        contact(''),
        contact('two words'),
        contact('x'.repeat(65)),
        contact('c1', { address: undefined }),
        contact('c1', { createdAtMs: Number.NaN }),
      ];
      for (const one of broken) {
        await expectFailure(store.setContactPoint(one), 'STORE_BAD_INPUT');
      }
      expect(await store.contactPoints()).toEqual([]);
    });
  });

  describe('a secret of the house', () => {
    it('is the first that was offered, from then on', async () => {
      const { store } = place;
      expect(await store.secretOr('push', 'first')).toBe('first');
      expect(await store.secretOr('push', 'second')).toBe('first');
      expect(await store.secretOr('links', 'second')).toBe('second');
    });

    it('is the same for every program', async () => {
      const other = await place.another();
      const [one, two] = await Promise.all([
        place.store.secretOr('push', 'one'),
        other.secretOr('push', 'two'),
      ]);
      expect(['one', 'two']).toContain(one);
      expect(two).toBe(one);
      const again = await place.reopen();
      expect(await again.secretOr('push', 'three')).toBe(one);
    });
  });
}
