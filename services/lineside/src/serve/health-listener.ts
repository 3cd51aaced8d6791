import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { AlertingHealth } from '@lineside/alerting';
import type { IngestPulse } from '@lineside/ingest';
import { startListening } from './listening.ts';
import type { OpenedHouse } from './opened-house.ts';
import { ROLES, type Role } from './roles.ts';

/** From when on a service counts as stuck, as with the bystander: ten times what is ever usual. */
const STUCK_AFTER_MS = 2 * 60_000;

/** A supervisor and a collector of metrics need one each. */
const MOST_CONNECTIONS = 32;

const REQUEST_ARRIVES_WITHIN_MS = 5_000;

/** How one service of the process is, in words for people. */
type ServiceWords = 'starts' | 'serves' | 'stuck';

/** What tells whether the services of this process go on; null for those of others. */
interface ServingParts {
  readonly ingest: (() => IngestPulse) | null;
  readonly alerting: (() => Pick<AlertingHealth, 'caughtUpAtMs'>) | null;
  readonly clock: () => number;
}

export interface HealthListener {
  /** Null while it does not listen. */
  readonly port: number | null;
  /** From now on every service of the process is to go on. */
  serves(parts: ServingParts): void;
}

/**
 * Opens a small listener for supervisors, when a port is set for it: `/health` is 200 while every
 * service of the process goes on and 503 while it starts or is stuck, `/metrics` is Prometheus text.
 * Broker and stores count nothing in it, since a restart would not bring them back. No sign-in.
 */
export async function openHealthListener(
  { settings, metrics, undo }: OpenedHouse,
  roles: ReadonlySet<Role>,
): Promise<HealthListener> {
  let parts: ServingParts | null = null;
  const { healthHost: host, healthPort } = settings;
  if (healthPort === null) return { port: null, serves: () => {} };
  const server = createServer((request, response) => {
    void answer(request, response, {
      health: () => servicesNow(roles, parts),
      metrics: () => metrics.metrics(),
      metricsType: metrics.contentType,
    });
  });
  server.maxConnections = MOST_CONNECTIONS;
  server.requestTimeout = REQUEST_ARRIVES_WITHIN_MS;
  const begin = (): Promise<void> => listening(server, host, healthPort);
  await startListening(begin, `${host}:${healthPort}`, 'LINESIDE_HEALTH');
  undo.add(() => ended(server));
  return {
    port: (server.address() as AddressInfo).port,
    serves: (given) => {
      parts = given;
    },
  };
}

/** Every service of the process, in the order of their start. */
function servicesNow(
  roles: ReadonlySet<Role>,
  parts: ServingParts | null,
): Partial<Record<Role, ServiceWords>> {
  const words: Partial<Record<Role, ServiceWords>> = {};
  for (const role of ROLES) {
    if (roles.has(role)) words[role] = parts === null ? 'starts' : wordsOf(role, parts);
  }
  return words;
}

function wordsOf(role: Role, { ingest, alerting, clock }: ServingParts): ServiceWords {
  if (role === 'ingest' && ingest !== null) {
    const { commitAgeMs, judgingAgeMs } = ingest();
    return Math.max(commitAgeMs, judgingAgeMs) > STUCK_AFTER_MS ? 'stuck' : 'serves';
  }
  if (role === 'alerting' && alerting !== null) {
    return clock() - alerting().caughtUpAtMs > STUCK_AFTER_MS ? 'stuck' : 'serves';
  }
  return 'serves';
}

interface Answers {
  readonly health: () => Partial<Record<Role, ServiceWords>>;
  readonly metrics: () => Promise<string>;
  readonly metricsType: string;
}

async function answer(
  request: IncomingMessage,
  response: ServerResponse,
  { health, metrics, metricsType }: Answers,
): Promise<void> {
  const path = request.url?.split('?')[0];
  if (request.method !== 'GET' || (path !== '/health' && path !== '/metrics')) {
    response.writeHead(404).end();
    return;
  }
  if (path === '/health') {
    const services = health();
    const isWell = Object.values(services).every((words) => words === 'serves');
    response.writeHead(isWell ? 200 : 503, { 'content-type': 'application/json' });
    response.end(`${JSON.stringify(services)}\n`);
    return;
  }
  try {
    const text = await metrics();
    response.writeHead(200, { 'content-type': metricsType }).end(text);
  } catch {
    response.writeHead(500).end();
  }
}

function listening(server: Server, host: string, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen({ host, port }, () => {
      server.off('error', reject);
      resolve();
    });
  });
}

function ended(server: Server): Promise<void> {
  return new Promise((resolve) => {
    server.close(() => resolve());
    server.closeAllConnections();
  });
}
