import { once } from 'node:events';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { pino } from 'pino';
import { Counter, Registry } from 'prom-client';
import { describe, expect, it, onTestFinished } from 'vitest';
import { openHealthListener } from '../src/serve/health-listener.ts';
import type { OpenedHouse } from '../src/serve/opened-house.ts';
import type { Role } from '../src/serve/roles.ts';
import { Undo } from '../src/serve/undo.ts';
import { readSettings } from '../src/settings.ts';

const NOW_MS = Date.UTC(2026, 0, 10);
const MINUTE_MS = 60_000;
const log = pino({ level: 'silent' });

async function freePort(): Promise<number> {
  const probe = createServer().listen(0, '127.0.0.1');
  await once(probe, 'listening');
  const { port } = probe.address() as AddressInfo;
  probe.close();
  await once(probe, 'close');
  return port;
}

async function listener(...roles: readonly Role[]) {
  const undo = new Undo();
  onTestFinished(() => undo.run(log));
  const metrics = new Registry();
  new Counter({ name: 'tries_total', help: 'Tries.', registers: [metrics] }).inc(3);
  const port = await freePort();
  const settings = readSettings({ LINESIDE_HEALTH_PORT: String(port) });
  const house = { settings, metrics, undo } as Partial<OpenedHouse> as OpenedHouse;
  const opened = await openHealthListener(house, new Set(roles));
  const ask = async (path: string) => {
    const answer = await fetch(`http://127.0.0.1:${port}${path}`);
    return { status: answer.status, text: await answer.text() };
  };
  return { opened, ask, house };
}

describe('the listener for supervisors', () => {
  it('is well while every service goes on, and not while one starts or is stuck', async () => {
    const { opened, ask } = await listener('ingest', 'alerting');
    const starts = await ask('/health');
    expect(starts.status).toBe(503);
    expect(JSON.parse(starts.text)).toEqual({ ingest: 'starts', alerting: 'starts' });

    const world = { judgingAgeMs: 0, caughtUpAtMs: NOW_MS };
    opened.serves({
      clock: () => NOW_MS,
      ingest: () => ({
        commitAgeMs: 0,
        waitingBytes: 0,
        lastCommitAtMs: null,
        judgingAgeMs: world.judgingAgeMs,
        waitingReadings: 0,
      }),
      alerting: () => ({ caughtUpAtMs: world.caughtUpAtMs }),
    });
    expect(await ask('/health')).toEqual({
      status: 200,
      text: '{"ingest":"serves","alerting":"serves"}\n',
    });
    world.judgingAgeMs = 3 * MINUTE_MS;
    expect(await ask('/health')).toMatchObject({ status: 503 });
    world.judgingAgeMs = 0;
    world.caughtUpAtMs = NOW_MS - 3 * MINUTE_MS;
    expect(JSON.parse((await ask('/health')).text)).toEqual({
      ingest: 'serves',
      alerting: 'stuck',
    });
  });

  it('gives the metrics, and nothing else', async () => {
    const { ask } = await listener('ingest');
    expect(await ask('/metrics')).toMatchObject({ status: 200 });
    expect((await ask('/metrics')).text).toContain('tries_total 3');
    expect((await ask('/api/units')).status).toBe(404);
  });

  it('says which setting to change when its port is in use', async () => {
    const { house } = await listener('ingest');
    await expect(openHealthListener(house, new Set(['api']))).rejects.toThrow(
      /cannot listen on 127.0.0.1:\d+: the port is in use \(set LINESIDE_HEALTH_PORT\)/,
    );
  });
});
