import { connect as connectSocket, type Socket } from 'node:net';
import { connect as connectTls } from 'node:tls';
import { pino } from 'pino';
import { Registry } from 'prom-client';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { Broker } from '../src/broker/broker.ts';
import { startIngest } from '../src/start-ingest.ts';
import { eventually } from './stand-ins/eventually.ts';
import { INVENTED_FLEET } from './stand-ins/invented-fleet.ts';
import { MemoryRecords } from './stand-ins/memory-records.ts';
import { MemoryTelemetry } from './stand-ins/memory-telemetry.ts';
import { NOW_MS, runIngest, runInMemory } from './stand-ins/running-ingest.ts';
import {
  AUTHORITY_CERTIFICATE,
  SERVER_CERTIFICATE,
  SERVER_KEY,
} from './stand-ins/test-certificates.ts';

const log = pino({ level: 'silent' });
const sockets: Socket[] = [];

afterEach(() => {
  for (const socket of sockets.splice(0)) {
    socket.destroy();
  }
});

function open(port: number): { readonly socket: Socket; readonly closed: Promise<void> } {
  const socket = connectSocket(port, '127.0.0.1');
  sockets.push(socket);
  socket.on('error', () => {});
  socket.resume();
  return { socket, closed: new Promise((resolve) => socket.once('close', () => resolve())) };
}

describe('listening', () => {
  it('fails with the error of the system when the port is taken, and leaves nothing running', async () => {
    const run = await runInMemory();
    const attempt = startIngest({
      telemetry: new MemoryTelemetry(),
      records: new MemoryRecords(),
      fleet: () => INVENTED_FLEET,
      clock: () => NOW_MS,
      log,
      metrics: new Registry(),
      settings: {
        mqttHost: '127.0.0.1',
        mqttPort: run.ingest.mqttPort,
        tls: null,
        retentionDays: 400,
      },
    });
    await expect(attempt).rejects.toMatchObject({ code: 'EADDRINUSE' });
  });

  it('refuses connections above the limit and takes some again when others end', async () => {
    const records = new MemoryRecords();
    const broker = new Broker({
      records,
      log,
      settings: { mqttHost: '127.0.0.1', mqttPort: 0, tls: null, retentionDays: 400 },
      onMessage: () => {},
      onOversize: () => {},
      onPresenceLost: async () => {},
      mostConnections: 1,
    });
    await broker.prepare();
    await broker.open();
    const first = open(broker.port);
    await eventually(() => expect(broker.isFull).toBe(true));
    await open(broker.port).closed;
    expect(broker.refusedConnections).toBe(1);
    first.socket.destroy();
    await eventually(() => expect(broker.isFull).toBe(false));
    open(broker.port);
    await eventually(() => expect(broker.connections).toBe(1));
    await broker.close();
  });

  it.each([
    ['plain TCP', null],
    ['TLS', { certificate: SERVER_CERTIFICATE, key: SERVER_KEY, clientCa: null }],
  ])('ends a connection over %s that never signs in', async (_name, tls) => {
    const run = await runIngest({
      records: new MemoryRecords(),
      telemetry: new MemoryTelemetry(),
      tls,
    });
    vi.useFakeTimers({ toFake: ['setTimeout'] });
    try {
      const socket =
        tls === null
          ? connectSocket(run.ingest.mqttPort, '127.0.0.1')
          : connectTls({ port: run.ingest.mqttPort, host: '127.0.0.1', ca: AUTHORITY_CERTIFICATE });
      sockets.push(socket);
      socket.resume();
      const closed = new Promise<void>((resolve) => socket.once('close', () => resolve()));
      let connections = '';
      while (!/lineside_mqtt_connections 1\b/.test(connections)) {
        await new Promise(setImmediate);
        connections = await run.metrics.metrics();
      }
      vi.advanceTimersByTime(9_999);
      expect(await run.metrics.metrics()).toMatch(/lineside_mqtt_connections 1\b/);
      vi.advanceTimersByTime(1);
      await closed;
    } finally {
      vi.useRealTimers();
    }
  });

  it('survives bytes that are no MQTT', async () => {
    const run = await runInMemory();
    for (const bytes of [[0], [0xff, 0xff, 0xff, 0xff, 0xff, 0xff], [0x10, 0x02, 0x00, 0x04]]) {
      const { socket, closed } = open(run.ingest.mqttPort);
      socket.write(Uint8Array.from(bytes));
      socket.end();
      await closed;
    }
    await run.node('harbour-mall', 'rtu-01');
    expect(run.ingest.health().broker).toEqual({ state: 'ok', reason: null });
  });
});
