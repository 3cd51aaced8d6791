import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { LOOKS_APART_MS } from '../src/outbox/limits.ts';
import {
  closeHouse,
  contactPoint,
  type DelivererHouse,
  DOWN,
  held,
  houseWithContacts,
  later,
  newMessage,
  OK,
} from './deliverer-house.ts';

let house: DelivererHouse;

beforeEach(() => {
  vi.useFakeTimers({ now: Date.UTC(2031, 4, 3, 2) });
  house = houseWithContacts();
});

afterEach(() => closeHouse(house));

const state = (id: string) => house.outbox.kept.get(id)?.state;

describe('limits', () => {
  it('hold how many go at once by one channel and to one contact point', async () => {
    house = houseWithContacts({ inFlightPerChannel: 5 });
    const slow = held();
    house.webhook.answer = () => slow.answer();
    for (let index = 0; index < 40; index += 1) {
      house.outbox.put(newMessage(`m${index}`, ['a', 'b', 'c', 'd'][index % 4]!));
    }
    house.deliverer.start();
    await later(5000);
    expect(house.webhook.tries).toHaveLength(5);
    slow.release(OK);
    await later(8 * LOOKS_APART_MS);
    expect(house.webhook.mostInFlight).toBe(5);
    expect(house.webhook.tries).toHaveLength(40);
  });

  it('leave no room unused while very many wait', async () => {
    house.webhook.answer = async () => {
      await new Promise((resolve) => setTimeout(resolve, 100));
      return OK;
    };
    for (let index = 0; index < 1600; index += 1) {
      const contact = `c${index % 40}`;
      house.outbox.contacts.set(contact, contactPoint(contact));
      house.outbox.put(newMessage(`m${index}`, contact));
    }
    house.deliverer.start();
    // 16 at once, each 0.1 s and a look apart: 12.5 s, and a little for the last of them.
    await later(13_500);
    expect(house.webhook.tries).toHaveLength(1600);
    expect(house.webhook.mostInFlight).toBe(16);
  });

  it('let a message behind many that find no room be seen all the same', async () => {
    house = houseWithContacts({ dueAtOnce: 10 });
    const slow = held();
    house.webhook.answer = (message) => (message.id === 'last' ? OK : slow.answer());
    for (let index = 0; index < 25; index += 1) house.outbox.put(newMessage(`m${index}`, 'a'));
    house.outbox.put(newMessage('last', 'b', { dueAtMs: Date.now() + 1 }));
    house.deliverer.start();
    await later(10_000);
    expect(state('last')).toBe('handed-over');
    expect(house.webhook.tries.filter(({ id }) => id !== 'last')).toHaveLength(2);
    slow.release(OK);
    await later(60_000);
    expect([...house.outbox.kept.values()].every(({ attempts }) => attempts === 1)).toBe(true);
  });
});

describe('a door that is down', () => {
  it('lets one probe after a pause, while others wait with no attempt counted', async () => {
    house.outbox.contacts.set('mail', contactPoint('mail', { channel: 'e-mail' }));
    let isDown = true;
    house.mail.answer = () => (isDown ? DOWN : OK);
    for (let index = 0; index < 12; index += 1) {
      const contact = `mail${index}`;
      house.outbox.contacts.set(contact, contactPoint(contact, { channel: 'e-mail' }));
    }
    const put = (id: string, contact: string): void =>
      house.outbox.put(newMessage(id, contact, { channel: 'e-mail' }));
    for (let index = 0; index < 5; index += 1) put(`m${index}`, `mail${index}`);
    house.deliverer.start();
    await later(0);
    expect(house.mail.tries).toHaveLength(5);
    expect(house.deliverer.health().closedDoors).toEqual(['e-mail mail.example']);
    for (let index = 5; index < 12; index += 1) put(`m${index}`, `mail${index}`);
    house.outbox.put(newMessage('other-way', 'a'));
    house.deliverer.poke();
    await later(4900);
    expect(house.mail.tries).toHaveLength(5);
    expect(house.outbox.kept.get('m9')).toMatchObject({ state: 'waiting', attempts: 0 });
    expect(state('other-way')).toBe('handed-over');
    await later(200);
    expect(house.mail.tries).toHaveLength(6);
    isDown = false;
    await later(30_000);
    expect([...house.outbox.kept.values()].map((one) => one.state)).not.toContain('waiting');
    expect(house.deliverer.health().closedDoors).toEqual([]);
  });

  it('does not hold up another door of the same channel', async () => {
    house.webhook.answer = (_message, address) =>
      JSON.stringify(address).includes('"a"') ? DOWN : OK;
    for (let index = 0; index < 20; index += 1) house.outbox.put(newMessage(`m${index}`, 'a'));
    house.deliverer.start();
    await later(20_000);
    house.outbox.put(newMessage('b1', 'b'));
    house.deliverer.poke();
    await later(0);
    expect(state('b1')).toBe('handed-over');
  });
});
