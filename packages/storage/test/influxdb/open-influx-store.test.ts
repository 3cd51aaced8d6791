import type { TelemetryStore } from '@lineside/storage';
import { afterEach, describe, expect, it } from 'vitest';
import type { InfluxOptions } from '../../src/influxdb/influx-options.ts';
import { openInfluxStore } from '../../src/influxdb/open-influx-store.ts';
import { type PretendedServer, pretendServer, type Reply } from './pretended-server.ts';

const AT = Date.UTC(2026, 0, 5);
const READING = { site: 'mill', unit: 'rtu-01', atMs: AT, channels: { rh: 50 } };
const LINE = `reading,site=mill,unit=rtu-01 rh=50 ${AT}`;

let server: PretendedServer | null = null;
let store: TelemetryStore | null = null;

afterEach(async () => {
  await store?.close();
  await server?.close();
  store = null;
  server = null;
});

async function open(
  version: string,
  options: Partial<InfluxOptions> = {},
  reply?: (request: { readonly path: string; readonly query: URLSearchParams }) => Reply | null,
): Promise<TelemetryStore> {
  server = await pretendServer(version, reply);
  const usual = { url: server.url, token: null, org: null, bucket: 'roofs' };
  store = await openInfluxStore({ ...usual, ...options });
  return store;
}

function writes(): PretendedServer['taken'] {
  return server?.taken.filter(({ path }) => path.endsWith('/write')) ?? [];
}

describe('openInfluxStore', () => {
  it('writes to generation 1 at its own path, with user and password', async () => {
    const here = await open('1.8.10', { token: 'ann:secret' });
    await here.append([READING]);
    const [write] = writes();
    expect(write).toMatchObject({ path: '/write', body: LINE });
    expect(Object.fromEntries(write?.query ?? [])).toEqual({ db: 'roofs', precision: 'ms' });
    expect(write?.authorization).toBe(`Basic ${btoa('ann:secret')}`);
    const made = server?.taken.find(({ method, path }) => method === 'POST' && path === '/query');
    expect(made?.query.get('q')).toBe('CREATE DATABASE "roofs"');
  });

  it.each(['v2.7.6', '3.2.0'])(
    'writes to %s with organisation, bucket and token',
    async (version) => {
      const here = await open(version, { token: 'abc', org: 'north' });
      await here.append([READING]);
      const [write] = writes();
      expect(write).toMatchObject({
        path: '/api/v2/write',
        body: LINE,
        authorization: 'Token abc',
      });
      const expected = { org: 'north', bucket: 'roofs', precision: 'ms' };
      expect(Object.fromEntries(write?.query ?? [])).toEqual(expected);
      const asked = server?.taken.filter(({ path }) => path === '/query') ?? [];
      expect(asked.length).toBeGreaterThan(0);
      for (const { method, query, authorization } of asked) {
        expect([method, query.get('db'), authorization]).toEqual(['GET', 'roofs', 'Token abc']);
      }
    },
  );

  it('asks generation 3 one statement a request and does not delete there', async () => {
    const here = await open('3.2.0');
    const query = { site: 'mill', unit: 'rtu-01', fromMs: 0, toMs: AT, channels: ['rh'] as const };
    expect(await here.quarters([query, query, query])).toEqual([]);
    const asked = server?.taken.filter(({ path }) => path === '/query') ?? [];
    const from = asked.map(({ query: of }) => /FROM ("\w+")/.exec(of.get('q') ?? '')?.[1]);
    expect(from.sort()).toEqual(['"late_day"', ...Array(3).fill('"reading"'), '"summed"']);
    const dropped = here.dropBefore(AT);
    await expect(dropped).rejects.toMatchObject({ code: 'STORE_BAD_INPUT' });
    await expect(dropped).rejects.toThrow(here.lacks['dropBefore']);
  });

  it.each(['1.8.10', 'v2.7.6', '3.2.0'])('sums up readings of %s', async (version) => {
    const row = { tags: { site: 'mill', unit: 'rtu-01' }, columns: ['time', 'rh'] };
    const values = [[AT, 50]];
    const here = await open(version, {}, ({ query }) => {
      const q = query.get('q') ?? '';
      const series =
        q.startsWith('SHOW SERIES') || q.startsWith('SHOW FIELD KEYS')
          ? {
              columns: ['key'],
              values: [[q.includes('SERIES') ? 'reading,site=mill,unit=rtu-01' : 'rh']],
            }
          : { ...row, values };
      if (q.includes('; ') || /FROM "(summed|late_day)"/.test(q)) return null;
      if (!/^(SELECT .*"rh"|SHOW)/.test(q)) return null;
      return { status: 200, body: { results: [{ statement_id: 0, series: [series] }] } };
    });
    const report = await here.sumUp?.(AT + 3_600_000);
    expect(report).toEqual({ beforeMs: AT + 2_700_000, quarters: expect.any(Number) });
    const bodies = writes().map(({ body }) => body);
    expect(bodies).toContain(
      `quarter,site=mill,unit=rtu-01 rh_min=50,rh_max=50,rh_sum=50,rh_n=1 ${AT}`,
    );
    expect(bodies.at(-1)).toBe(`summed before=${AT + 2_700_000} ${AT + 2_700_000}`);
    const asked = server?.taken.map(({ query }) => query.get('q') ?? '') ?? [];
    expect(asked.some((q) => q.startsWith('SHOW SERIES'))).toBe(version !== '3.2.0');
  });

  it('is looked at by a question that finds nothing, and rejects when it is refused', async () => {
    let isRefused = false;
    const here = await open('1.8.10', {}, () =>
      isRefused ? { status: 401, body: { error: 'unauthorized access' } } : null,
    );
    await here.look?.();
    expect(server?.taken.at(-1)?.query.get('q')).toContain('LIMIT 1');
    isRefused = true;
    await expect(here.look?.()).rejects.toMatchObject({ code: 'STORE_UNAVAILABLE' });
  });

  it('writes again what failed for a moment', async () => {
    let failures = 2;
    const here = await open('1.8.10', {}, ({ path }) => {
      if (path !== '/write' || failures === 0) return null;
      failures -= 1;
      return { status: 503, body: { error: 'timeout' } };
    });
    expect((await here.append([READING])).storedValues).toBe(1);
    expect(writes().map(({ body }) => body)).toEqual([LINE, LINE, LINE]);
  });

  it.each([
    [500, 'engine: write /wal: no space left on device', 'STORE_FULL'],
    [400, 'partial write: field type conflict', 'STORE_UNAVAILABLE'],
    [401, 'unauthorized access', 'STORE_UNAVAILABLE'],
  ])('rejects a batch at status %i (%s) as %s', async (status, error, code) => {
    const reply = ({ path }: { path: string }): Reply | null =>
      path === '/write' ? { status, body: { error } } : null;
    const here = await open('1.8.10', {}, reply);
    await expect(here.append([READING])).rejects.toMatchObject({ code });
    await expect(here.append([READING])).rejects.toThrow(error);
  });

  it.each([
    ['an error', { results: [{ statement_id: 0, error: 'database not found: roofs' }] }],
    ['part of the rows', { results: [{ series: [{ columns: [], values: [], partial: true }] }] }],
    ['something else', { tables: [] }],
  ])('rejects an answer with %s', async (_what, body) => {
    const reply = ({ query }: { query: URLSearchParams }): Reply | null =>
      query.get('q')?.includes('min(') === true ? { status: 200, body } : null;
    const here = await open('1.8.10', {}, reply);
    const extremes = here.extremes({ fromMs: 0, toMs: AT, channels: ['rh'] });
    await expect(extremes).rejects.toMatchObject({ name: 'StoreError', code: 'STORE_UNAVAILABLE' });
  });

  it('refuses what is no InfluxDB, or no server', async () => {
    await expect(open('')).rejects.toThrow('InfluxDB 1, 2 or 3 is needed');
    const url = server?.url ?? '';
    await server?.close();
    server = null;
    const nowhere = openInfluxStore({ url, token: 'top-secret', org: null, bucket: 'roofs' });
    await expect(nowhere).rejects.toMatchObject({ code: 'STORE_UNAVAILABLE' });
    await expect(nowhere).rejects.not.toThrow('top-secret');
  });
});
