import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openRecordStore, type RecordStore } from '@lineside/storage';
import { pino } from 'pino';
import { Registry } from 'prom-client';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { Channel } from '../src/channels/channel.ts';
import { createDeliverer, type Deliverer } from '../src/outbox/deliverer.ts';
import { startWebhookReceiver, type WebhookReceiver } from './counterparts/webhook-receiver.ts';
import { contactPoint, newMessage } from './deliverer-house.ts';

let folder: string;
let gate: WebhookReceiver;

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'outbox-'));
  gate = await startWebhookReceiver(10_000);
});

afterEach(async () => {
  await gate.channel.close();
  await gate.close();
  rmSync(folder, { recursive: true });
});

const open = (): Promise<RecordStore> => openRecordStore({ file: join(folder, 'records.db') });

function delivererOver(
  records: Parameters<typeof createDeliverer>[0]['records'],
  channel: Channel = gate.channel,
): Deliverer {
  return createDeliverer({
    records,
    channels: new Map([[channel.kind, channel]]),
    clock: () => Date.now(),
    random: () => 0,
    log: pino({ level: 'silent' }),
    metrics: new Registry(),
    limits: { stopWithinMs: 50 },
  });
}

async function stateOf(records: RecordStore, id: string): Promise<string | undefined> {
  const { items } = await records.messages({ cursor: null, limit: 100 });
  return items.find((message) => message.id === id)?.state;
}

it('repeats after a crash only what was in flight, under the same key', async () => {
  const first = await open();
  await first.setContactPoint(contactPoint('gate', { address: gate.address }));
  await first.addMessages([newMessage('done', 'gate'), newMessage('lost', 'gate')]);
  const crashing = delivererOver({
    messagesDue: first.messagesDue,
    nextMessageDueMs: first.nextMessageDueMs,
    contactPoints: first.contactPoints,
    removeContactPoint: first.removeContactPoint,
    // The process dies after the gateway has answered for `lost`, before that is written.
    settleMessages: async (outcomes) => {
      if (outcomes.some(({ id }) => id === 'lost')) throw new Error('power cut');
      await first.settleMessages(outcomes);
    },
  });
  crashing.start();
  await vi.waitFor(async () => {
    expect(await stateOf(first, 'done')).toBe('handed-over');
    expect(gate.calls).toHaveLength(2);
  });
  await crashing.stop();
  await first.close();

  const second = await open();
  const again = delivererOver(second);
  again.start();
  await vi.waitFor(async () => expect(await stateOf(second, 'lost')).toBe('handed-over'));
  await again.stop();
  await second.close();
  const ids = gate.calls.map(({ id }) => id).sort();
  expect(ids).toEqual(['done.1', 'lost.1', 'lost.1']);
});

it('removes a contact point from the store when its gateway says that it is gone', async () => {
  const records = await open();
  await records.setContactPoint(contactPoint('gate', { address: gate.address }));
  await records.addMessages([newMessage('m1', 'gate')]);
  gate.answer('says-gone');
  const deliverer = delivererOver(records);
  deliverer.start();
  await vi.waitFor(async () => expect(await records.contactPoints()).toEqual([]));
  expect(await stateOf(records, 'm1')).toBe('given-up');
  await deliverer.stop();
  await records.close();
});
