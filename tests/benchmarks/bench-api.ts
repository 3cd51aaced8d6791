/** The API over stores, without sockets, for benchmarks of what it answers. */
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { buildApi, createToken, type LiveView } from '@lineside/api';
import type { Fleet } from '@lineside/fleet';
import type { Reading } from '@lineside/readings';
import type { RecordStore, TelemetryStore } from '@lineside/storage';
import type { FastifyInstance } from 'fastify';
import { pino } from 'pino';
import { Registry } from 'prom-client';

/** Requests of each kind; the median counts. */
export const ROUNDS = 7;

export interface BenchApiParts {
  readonly telemetry: TelemetryStore;
  readonly records: RecordStore;
  readonly fleet: Fleet;
  /** Every unit's newest reading. */
  readonly latest: Reading;
  /** The time it is; absent: now. */
  readonly nowMs?: number;
}

/** The API and a token of the office. */
export async function benchApi(
  parts: BenchApiParts,
): Promise<{ readonly api: FastifyInstance; readonly token: string }> {
  const { telemetry, records, fleet, latest, nowMs = Date.now() } = parts;
  const token = await createToken(records, { role: 'office', sites: [], nowMs });
  const api = await buildApi({
    telemetry,
    records,
    fleet: () => fleet,
    live: quietView(latest),
    health: async () => ({
      ...{ ingest: WELL, alerting: WELL, broker: WELL, telemetry: WELL, records: WELL },
      pending: 0,
    }),
    whatIf: { start: () => null, find: () => null, cancel: () => null },
    alerting: { pushPublicKey: '', sendTest: async () => [] },
    pages: { readLink: () => null, roofDanger: () => null },
    clock: () => nowMs,
    log: pino({ level: 'silent' }),
    metrics: new Registry(),
    publicUrl: 'http://127.0.0.1',
    trustedProxies: [],
    dashboardFolder: null,
  });
  return { api, token };
}

const WELL = { state: 'ok', reason: null } as const;

/** Asks seven times and prints the median. */
export async function timeRequests(
  api: FastifyInstance,
  token: string,
  title: string,
  url: string,
): Promise<void> {
  const delay = monitorEventLoopDelay({ resolution: 1 });
  const took: number[] = [];
  let bytes = 0;
  delay.enable();
  for (let round = 0; round < ROUNDS; round++) {
    const startedAt = performance.now();
    const headers = { authorization: `Bearer ${token}` };
    const answer = await api.inject({ method: 'GET', url, headers });
    took.push(performance.now() - startedAt);
    if (answer.statusCode !== 200) throw new Error(`${url}: ${answer.statusCode} ${answer.body}`);
    bytes = answer.rawPayload.length;
  }
  delay.disable();
  const median = took.sort((a, b) => a - b)[Math.floor(ROUNDS / 2)] ?? Number.NaN;
  const longest = delay.max / 1e6;
  console.log(
    `  ${title.padEnd(26)} ${median.toFixed(0).padStart(5)} ms   ${(bytes / 1024).toFixed(0)} KiB` +
      `   event loop blocked at most ${longest.toFixed(0)} ms`,
  );
}

/** A fleet in which nothing happens; every unit has a newest reading. */
function quietView(newest: Reading): LiveView {
  const nothing = (): void => undefined;
  return {
    condition: () => null,
    latest: (site, unit) => ({ ...newest, site, unit }),
    onReadings: () => nothing,
    onCondition: () => nothing,
    onJournal: () => nothing,
    journalGrew: nothing,
    serviceRecorded: nothing,
  };
}
