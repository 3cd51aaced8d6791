import { Writable } from 'node:stream';
import type { Fleet } from '@lineside/fleet';
import type { RangeQuery, Role } from '@lineside/storage';
import type { FastifyInstance, InjectOptions, LightMyRequestResponse } from 'fastify';
import { pino } from 'pino';
import { Registry } from 'prom-client';
import { onTestFinished } from 'vitest';
import { createToken } from '../../src/auth/create-token.ts';
import { buildApi } from '../../src/build-api.ts';
import type { ApiDependencies, ApiRecords } from '../../src/dependencies.ts';
import { FLEET } from './fleet.ts';
import { TestLive } from './live.ts';
import { MemoryRecords } from './memory-records.ts';

export const START_MS = Date.UTC(2026, 0, 15, 12);

export interface House {
  readonly app: FastifyInstance;
  readonly records: MemoryRecords;
  readonly live: TestLive;
  readonly metrics: Registry;
  readonly asked: RangeQuery[];
  readonly log: () => string;
  nowMs: number;
  fleet: Fleet;
  /** A request with a token of the role; viewers read `harbour`. */
  call(
    who: Role | null,
    method: 'GET' | 'POST' | 'PUT' | 'DELETE' | 'HEAD',
    url: string,
    body?: InjectOptions['payload'],
  ): Promise<LightMyRequestResponse>;
  token(role: Role, sites?: readonly string[]): Promise<string>;
}

export interface HouseOptions {
  readonly publicUrl?: string;
  readonly trustedProxies?: readonly string[];
  readonly dashboardFolder?: string;
  readonly telemetry?: ApiDependencies['telemetry'];
  readonly whatIf?: ApiDependencies['whatIf'];
  readonly alerting?: ApiDependencies['alerting'];
  readonly pages?: ApiDependencies['pages'];
  /** Methods that behave otherwise than those in memory. */
  readonly records?: (memory: MemoryRecords) => Partial<ApiRecords>;
}

export const RANGE_BYTES = '{"channels":{"leak":{"unit":"A","points":[[0,0.0019,0.0019,0.0019]]}}}';

/** An API over stores in memory and a clock that stands still. */
export async function openHouse(options: HouseOptions = {}): Promise<House> {
  const records = new MemoryRecords();
  const live = new TestLive();
  const metrics = new Registry();
  const asked: RangeQuery[] = [];
  const tokens = new Map<string, Promise<string>>();
  const lines: string[] = [];
  const sink = new Writable({
    write: (chunk, _encoding, done) => {
      lines.push(String(chunk));
      done();
    },
  });
  const house = { nowMs: START_MS, fleet: FLEET };
  const behind = overridden(records, options.records?.(records) ?? {});
  const app = await buildApi({
    telemetry: options.telemetry ?? {
      rangeJson: async (query) => {
        asked.push(query);
        return new TextEncoder().encode(RANGE_BYTES);
      },
      extremes: async () => [],
      quarters: async () => [],
    },
    records: behind,
    fleet: () => house.fleet,
    live,
    health: () => live.health(),
    whatIf: options.whatIf ?? { start: () => null, find: () => null, cancel: () => null },
    alerting: options.alerting ?? { pushPublicKey: 'BKey', sendTest: async () => [] },
    pages: options.pages ?? { readLink: () => null, roofDanger: () => null },
    clock: () => house.nowMs,
    log: pino({ level: 'warn' }, sink),
    metrics,
    publicUrl: options.publicUrl ?? 'http://127.0.0.1:8080',
    trustedProxies: options.trustedProxies ?? [],
    dashboardFolder: options.dashboardFolder ?? null,
  });
  onTestFinished(() => app.close());
  const token = (role: Role, sites: readonly string[] = ['harbour']) =>
    createToken(behind, { role, sites, nowMs: START_MS });
  const tokenOf = (role: Role) => {
    const known = tokens.get(role) ?? token(role);
    tokens.set(role, known);
    return known;
  };
  const call: House['call'] = async (who, method, url, body) => {
    const headers = who === null ? {} : { authorization: `Bearer ${await tokenOf(who)}` };
    return app.inject({ method, url, headers, ...(body === undefined ? {} : { payload: body }) });
  };
  return Object.assign(house, {
    ...{ app, records, live, metrics, asked, call, token },
    log: () => lines.join(''),
  });
}

function overridden(records: MemoryRecords, methods: Partial<ApiRecords>): ApiRecords {
  return new Proxy<ApiRecords>(records, {
    get: (target, name: keyof ApiRecords) => {
      const own = methods[name];
      return own === undefined ? target[name].bind(target) : own.bind(methods);
    },
  });
}
