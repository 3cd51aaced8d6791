/** Generations 2 and 3, as their documentation says that they answer. */
import { afterEach, describe, expect, it } from 'vitest';
import { influxStatus } from '../../src/influxdb/influx-status.ts';
import { prepareInfluxStore } from '../../src/influxdb/prepare-influx-store.ts';
import type { PreparedThing } from '../../src/ports/store-upkeep.ts';
import {
  type PretendedServer,
  pretendServer,
  type Reply,
  type TakenRequest,
} from './pretended-server.ts';

const NOW_MS = Date.UTC(2026, 5, 1);
const SECONDS_PER_DAY = 86_400;

let server: PretendedServer | null = null;

afterEach(async () => {
  await server?.close();
  server = null;
});

async function prepare(
  version: string,
  reply: (request: TakenRequest) => Reply | null,
  mayDelete = false,
): Promise<readonly PreparedThing[]> {
  server = await pretendServer(version, reply);
  const options = { url: server.url, token: 'abc', org: 'north', bucket: 'roofs' };
  return prepareInfluxStore(options, { retentionDays: 400, mayDelete, nowMs: NOW_MS });
}

function outcomes(things: readonly PreparedThing[]): readonly string[] {
  return things.map(({ name, outcome }) => `${name}: ${outcome}`);
}

function sent(method: string, path: string): TakenRequest | undefined {
  return server?.taken.find((one) => one.method === method && one.path === path);
}

/** Generation 2 with that bucket, or without one. */
function bucketOf(everySeconds: number | null, old = false) {
  return ({ method, path, query }: TakenRequest): Reply | null => {
    if (path === '/api/v2/orgs')
      return { status: 200, body: { orgs: [{ id: 'o1', name: 'north' }] } };
    if (path === '/query' && query.get('q')?.includes('/.*/') === true) {
      const series = [{ name: 'reading', columns: ['time', 'rh'], values: [[1, 50]] }];
      const result = { statement_id: 0, ...(old ? { series } : {}) };
      return { status: 200, body: { results: [result] } };
    }
    if (!path.startsWith('/api/v2/buckets')) return null;
    if (method !== 'GET') return { status: method === 'POST' ? 201 : 200, body: {} };
    if (everySeconds === null) return { status: 200, body: { buckets: [] } };
    const rule = { type: 'expire', everySeconds };
    const bucket = { id: 'b1', name: 'roofs', retentionRules: everySeconds === 0 ? [] : [rule] };
    return { status: 200, body: { buckets: [bucket] } };
  };
}

const RULE = {
  type: 'expire',
  everySeconds: 407 * SECONDS_PER_DAY,
  shardGroupDurationSeconds: 7 * SECONDS_PER_DAY,
};

describe('prepareInfluxStore, generation 2', () => {
  it('makes a bucket in the organisation, and keeps it when it is right', async () => {
    const made = await prepare('v2.7.6', bucketOf(null));
    expect(outcomes(made).slice(0, 2)).toEqual(['bucket roofs: made', 'retention: made']);
    const request = sent('POST', '/api/v2/buckets');
    expect(JSON.parse(request?.body ?? '')).toEqual({
      orgID: 'o1',
      name: 'roofs',
      retentionRules: [RULE],
    });
    expect(request?.authorization).toBe('Token abc');
    await server?.close();
    const kept = await prepare('v2.7.6', bucketOf(RULE.everySeconds));
    expect(new Set(kept.map(({ outcome }) => outcome))).toEqual(new Set(['kept']));
    expect(sent('POST', '/api/v2/buckets')).toBeUndefined();
  });

  it('changes a retention only where that deletes nothing, or may', async () => {
    const longer = await prepare('v2.7.6', bucketOf(30 * SECONDS_PER_DAY, true));
    expect(outcomes(longer)[1]).toBe('retention: changed');
    const patch = sent('PATCH', '/api/v2/buckets/b1');
    expect(JSON.parse(patch?.body ?? '')).toEqual({ retentionRules: [RULE] });
    await server?.close();
    const refused = await prepare('v2.7.6', bucketOf(0, true));
    expect(outcomes(refused)[1]).toBe('retention: to do');
    expect(refused[1]?.words).toContain('is for ever and should be 407 days');
    expect(sent('PATCH', '/api/v2/buckets/b1')).toBeUndefined();
    await server?.close();
    expect(outcomes(await prepare('v2.7.6', bucketOf(0, true), true))[1]).toBe(
      'retention: changed',
    );
    await server?.close();
    expect(outcomes(await prepare('v2.7.6', bucketOf(0)))[1]).toBe('retention: changed');
  });

  it.each(['/api/v2/buckets', '/api/v2/orgs'])(
    'prints the steps where the token may not use %s',
    async (forbidden) => {
      const things = await prepare('v2.7.6', (request) =>
        request.path === forbidden ? { status: 403, body: {} } : bucketOf(null)(request),
      );
      expect(outcomes(things)).toEqual(['bucket roofs: to do']);
      expect(things[0]?.steps[0]).toContain(
        'influx bucket create --org north --name roofs --retention 9768h ' +
          '--shard-group-duration 168h',
      );
    },
  );
});

describe('prepareInfluxStore, generation 3', () => {
  const database =
    (names: readonly string[]) =>
    (request: TakenRequest): Reply | null => {
      if (request.path !== '/api/v3/configure/database') return null;
      const body = names.map((name) => ({ 'iox::database': name }));
      return { status: 200, body: request.method === 'GET' ? body : {} };
    };

  it('makes a database with its retention', async () => {
    expect(outcomes(await prepare('3.2.0', database(['_internal']))).slice(0, 2)).toEqual([
      'database roofs: made',
      'retention: made',
    ]);
    const request = sent('POST', '/api/v3/configure/database');
    expect(JSON.parse(request?.body ?? '')).toEqual({ db: 'roofs', retention_period: '9768h' });
    expect(request?.authorization).toBe('Bearer abc');
  });

  it('prints the steps for a database that is there, whose retention it does not tell', async () => {
    const things = await prepare('3.2.0', database(['roofs']));
    expect(outcomes(things).slice(0, 2)).toEqual(['database roofs: kept', 'retention: to do']);
    expect(things[1]?.steps.join('\n')).toContain('influxdb3 update database --database roofs');
    expect(sent('POST', '/api/v3/configure/database')).toBeUndefined();
  });
});

describe('a sign-in that the server does not know', () => {
  it('is said to be wrong, instead of which rights it lacks', async () => {
    server = await pretendServer('1.8.10', ({ path }) =>
      path === '/ping' ? null : { status: 401, body: { error: 'authorization failed' } },
    );
    const options = { url: server.url, token: 'a:b', org: null, bucket: 'roofs' };
    const wishes = { retentionDays: 400, mayDelete: false, nowMs: NOW_MS };
    await expect(prepareInfluxStore(options, wishes)).rejects.toThrow(
      /authorization failed.*check LINESIDE_INFLUX_TOKEN/,
    );
  });
});

describe('influxStatus', () => {
  it('says what is wrong, without the token', async () => {
    server = await pretendServer('v2.7.6', ({ path }) =>
      path === '/ping' ? null : { status: 401, body: { message: 'unauthorized access' } },
    );
    const options = { url: server.url, token: 'top-secret', org: 'north', bucket: 'roofs' };
    const status = await influxStatus(options, 400, NOW_MS);
    expect(status).toMatchObject({ generation: 2, version: 'v2.7.6' });
    expect(status.failure).toContain('check LINESIDE_INFLUX_TOKEN');
    expect(JSON.stringify(status)).not.toContain('top-secret');
  });
});
