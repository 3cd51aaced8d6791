import type { ContactPoint, NewMessage } from '@lineside/storage';
import { describe, expect, it } from 'vitest';
import { pushKeys } from '../src/push-keys.ts';
import { sendTest } from '../src/send-test.ts';

const NOW_MS = Date.UTC(2026, 0, 15, 12);

const contact = (id: string, person: string | null): ContactPoint => ({
  ...{ id, person, channel: 'web-push', name: `phone ${id}`, address: {}, createdAtMs: 0 },
  origin: 'device',
});

function desk(contacts: readonly ContactPoint[]) {
  const added: NewMessage[] = [];
  let calls = 0;
  const parts = {
    records: {
      contactPoints: async () => contacts,
      addMessages: async (messages: readonly NewMessage[]) => void added.push(...messages),
    },
    clock: () => NOW_MS,
    messagesWait: () => {
      calls += 1;
    },
  };
  return { parts, added, calls: () => calls };
}

describe('a test page', () => {
  it('waits for each contact point of the person and for nobody else', async () => {
    const { parts, added, calls } = desk([
      ...[contact('a1', 'ana'), contact('a2', 'ana'), contact('b1', 'ben'), contact('o', null)],
    ]);
    const sent = await sendTest(parts, 'ana');
    expect(sent.map((one) => one.contact)).toEqual(['a1', 'a2']);
    expect(added).toHaveLength(2);
    expect(calls()).toBe(1);
    for (const message of added) {
      expect(message.id).toMatch(/^[A-Za-z0-9_.-]{1,128}$/);
      expect(message.pageKey).toMatch(/^[a-z0-9-]{1,32}$/);
      expect(message).toMatchObject({ person: 'ana', dueAtMs: NOW_MS, createdAtMs: NOW_MS });
      expect(JSON.stringify(message.words)).toMatch(/[Tt]est/);
    }
  });

  it('is another page each time, so that it does not replace the one before', async () => {
    const { parts, added } = desk([contact('a1', 'ana')]);
    await sendTest(parts, 'ana');
    await sendTest(parts, 'ana');
    expect(new Set(added.map(({ pageKey }) => pageKey)).size).toBe(2);
  });

  it('writes nothing for somebody without contact points', async () => {
    const { parts, added, calls } = desk([contact('b1', 'ben')]);
    expect(await sendTest(parts, 'ana')).toEqual([]);
    expect(added).toEqual([]);
    expect(calls()).toBe(0);
  });
});

describe('push keys', () => {
  it('are made once and stay the same', async () => {
    const kept = new Map<string, string>();
    const records = {
      secretOr: async (name: string, fallback: string) => {
        const known = kept.get(name) ?? fallback;
        kept.set(name, known);
        return known;
      },
    };
    const first = await pushKeys(records);
    expect(await pushKeys(records)).toEqual(first);
    expect(Buffer.from(first.publicKey, 'base64url')).toHaveLength(65);
    expect(Buffer.from(first.privateKey, 'base64url')).toHaveLength(32);
  });
});
