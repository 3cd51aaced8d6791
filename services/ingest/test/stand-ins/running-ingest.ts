import type { Fleet } from '@lineside/fleet';
import type { Role } from '@lineside/storage';
import { connectAsync, type IClientOptions, type MqttClient } from 'mqtt';
import { pino } from 'pino';
import { Registry } from 'prom-client';
import { afterEach } from 'vitest';
import { hashSecret, makeNodeCredential } from '../../src/broker/credentials.ts';
import type { Ingest, IngestRecords, IngestSettings, IngestTelemetry } from '../../src/ingest.ts';
import { startIngest } from '../../src/start-ingest.ts';
import { INVENTED_FLEET } from './invented-fleet.ts';
import { MemoryRecords } from './memory-records.ts';
import { MemoryTelemetry } from './memory-telemetry.ts';

/** Wall-clock time at the start of each run. */
export const NOW_MS: number = Date.UTC(2026, 0, 10, 4, 0, 0);

const closeAfterwards: (() => Promise<unknown>)[] = [];

afterEach(async () => {
  for (const close of closeAfterwards.splice(0).reverse()) {
    await close();
  }
});

export interface Running {
  readonly ingest: Ingest;
  readonly metrics: Registry;
  /** Moves the wall clock that ingest sees. */
  advanceMs(ms: number): void;
  connect(options: IClientOptions): Promise<MqttClient>;
  /** Connects a unit's node with its current password. */
  node(site: string, unit: string, options?: IClientOptions): Promise<MqttClient>;
}

export interface RunOptions {
  readonly records: IngestRecords;
  readonly telemetry: IngestTelemetry;
  readonly fleet?: () => Fleet;
  readonly tls?: IngestSettings['tls'];
}

/** Starts ingest on a free port; it is closed after the test. */
export async function runIngest(options: RunOptions): Promise<Running> {
  let nowMs = NOW_MS;
  const metrics = new Registry();
  const ingest = await startIngest({
    telemetry: options.telemetry,
    records: options.records,
    fleet: options.fleet ?? (() => INVENTED_FLEET),
    clock: () => nowMs,
    log: pino({ level: 'silent' }),
    metrics,
    settings: {
      mqttHost: '127.0.0.1',
      mqttPort: 0,
      tls: options.tls ?? null,
      retentionDays: 400,
    },
  });
  closeAfterwards.push(() => ingest.close());
  const connect = async (clientOptions: IClientOptions): Promise<MqttClient> => {
    const client = await connectAsync({
      host: '127.0.0.1',
      port: ingest.mqttPort,
      protocol: options.tls ? 'mqtts' : 'mqtt',
      reconnectPeriod: 0,
      ...clientOptions,
    });
    // A connection that the broker ends is what several tests are about.
    client.on('error', () => {});
    closeAfterwards.push(() => client.endAsync(true));
    return client;
  };
  return {
    ingest,
    metrics,
    advanceMs: (ms) => {
      nowMs += ms;
    },
    connect,
    node: (site, unit, clientOptions) =>
      connect({ ...nodeSignIn(options.records, site, unit), ...clientOptions }),
  };
}

/** Gives a unit's node a fresh password, as `node create` does. */
export function nodeSignIn(
  records: IngestRecords,
  site: string,
  unit: string,
): { readonly username: string; readonly password: string } {
  const { username, password, credential } = makeNodeCredential(site, unit, NOW_MS);
  if (!(records instanceof MemoryRecords)) {
    throw new Error('this test keeps its credentials in memory');
  }
  records.credentials.set(username, credential);
  return { username, password };
}

export function tokenSignIn(
  records: MemoryRecords,
  role: Role,
  sites: readonly string[] | null = null,
): { readonly username: string; readonly password: string } {
  const password = `token-${role}-${records.tokens.size}`;
  const tokenHash = hashSecret(password);
  records.tokens.set(tokenHash, { id: tokenHash, tokenHash, role, sites, createdAtMs: NOW_MS });
  return { username: 'token', password };
}

export interface MemoryRun extends Running {
  readonly records: MemoryRecords;
  readonly telemetry: MemoryTelemetry;
}

/** Ingest over stand-ins of both stores. */
export async function runInMemory(): Promise<MemoryRun> {
  const records = new MemoryRecords();
  const telemetry = new MemoryTelemetry();
  return { ...(await runIngest({ records, telemetry })), records, telemetry };
}

/** One reading as a SenML pack in JSON; `leak` in amperes. */
export function pack(atMs: number, leakAmps: number): string {
  return JSON.stringify([
    { bn: 'node:', bt: atMs / 1000, n: 'leak', u: 'A', v: leakAmps },
    { n: 'rh', u: '%RH', v: 71.2 },
    { n: 't', u: 'Cel', v: -3.1 },
    { n: 'ia', u: 'A', v: 17.2 },
    { n: 'ib', u: 'A', v: 17 },
    { n: 'ic', u: 'A', v: 17.3 },
  ]);
}
