/**
 * A hundred thousand random and mutated packs through a real broker: no crash, each one
 * acknowledged, and each refused one counted and kept with a reason.
 */
import { decodePack } from '@lineside/readings';
import fc from 'fast-check';
import type { MqttClient } from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hostilePackArbitrary } from '../../packages/readings/test/pack-arbitrary.ts';
import { eventually } from '../end-to-end/eventually.ts';
import { type Installation, install } from '../end-to-end/installation.ts';

const PACKS = 100_000;
const SEED = 20_260_110;
const IN_FLIGHT = 500;
const RETENTION_MS = 400 * 86_400_000;
const TOPIC = 'lineside/harbour-mall/rtu-01/telemetry';

interface QuarantinePage {
  readonly items: readonly {
    readonly code: string;
    readonly reason: string;
    readonly topic: string;
  }[];
  readonly next: string | null;
}

describe(`${PACKS} random and mutated packs`, () => {
  let here: Installation;
  let node: MqttClient;
  beforeAll(async () => {
    here = await install();
    node = await here.node('harbour-mall', 'rtu-01');
  });
  afterAll(() => here.dispose());

  it('are all acknowledged, and refused with a reason or stored', {
    timeout: 180_000,
  }, async () => {
    const packs = fc.sample(hostilePackArbitrary(), { numRuns: PACKS, seed: SEED });
    const receivedAtMs = Date.now();
    const context = { receivedAtMs, oldestAtMs: receivedAtMs - RETENTION_MS, weather: false };
    const expected = new Map<string, number>();
    for (const pack of packs) {
      const code = decodePack(pack, context).refusal?.code;
      if (code !== undefined) expected.set(code, (expected.get(code) ?? 0) + 1);
    }
    // The packs must be varied enough to be refused for many reasons, or this proves little.
    expect(expected.size).toBeGreaterThanOrEqual(8);

    await publishAll(node, packs);
    expect(await counted(here)).toEqual(expected);

    const page = await here.get<QuarantinePage>('/api/quarantine?limit=1000');
    expect(page.items).toHaveLength(1_000);
    for (const { code, reason, topic } of page.items) {
      expect(expected.has(code)).toBe(true);
      expect(reason.length).toBeGreaterThan(5);
      expect(topic).toBe(TOPIC);
    }
  });

  it('leave a server that goes on as before', async () => {
    const atMs = Math.floor(Date.now() / 1000) * 1000;
    await node.publishAsync(
      TOPIC,
      JSON.stringify([{ bt: atMs / 1000, n: 'rh', u: '%RH', v: 50.5 }]),
      {
        qos: 1,
      },
    );
    const { lastReading } = await eventually(
      () => here.get<{ lastReading: { time: string } }>('/api/units/harbour-mall/rtu-01'),
      (unit) => Date.parse(unit.lastReading?.time) >= atMs,
    );
    expect(Date.parse(lastReading.time)).toBeGreaterThanOrEqual(atMs);
  });
});

async function publishAll(node: MqttClient, packs: readonly Uint8Array[]): Promise<void> {
  for (let from = 0; from < packs.length; from += IN_FLIGHT) {
    const some = packs.slice(from, from + IN_FLIGHT);
    await Promise.all(some.map((pack) => node.publishAsync(TOPIC, Buffer.from(pack), { qos: 1 })));
  }
}

/** `lineside_quarantined_total` by code. */
async function counted(here: Installation): Promise<Map<string, number>> {
  const answer = await fetch(`${here.server.http}/metrics`, {
    headers: { authorization: `Bearer ${here.officeToken}` },
  });
  const text = await answer.text();
  const lines = text.matchAll(/^lineside_quarantined_total\{code="([a-z-]+)"\} (\d+)$/gm);
  return new Map([...lines].map(([, code, count]) => [code!, Number(count)]));
}
