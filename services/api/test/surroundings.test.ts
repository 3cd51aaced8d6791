import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { describe, expect, it, onTestFinished } from 'vitest';
import { unitNamed } from './support/fleet.ts';
import { openHouse } from './support/house.ts';

function builtDashboard(): string {
  const folder = mkdtempSync(join(tmpdir(), 'page-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  mkdirSync(join(folder, 'assets'));
  writeFileSync(join(folder, 'index.html'), '<!doctype html><title>page</title>');
  writeFileSync(join(folder, 'page.html'), '<!doctype html><title>a page for you</title>');
  writeFileSync(join(folder, 'favicon.svg'), '<svg/>');
  writeFileSync(join(folder, 'assets', 'main-4f3a2b1c.js'), 'let a = 1;');
  return folder;
}

describe("the dashboard's files", () => {
  it('are served to anyone, the hashed ones for ever, the page anew each time', async () => {
    const house = await openHouse({ dashboardFolder: builtDashboard() });
    const page = await house.call(null, 'GET', '/');
    expect(page.statusCode).toBe(200);
    expect(page.headers['content-type']).toMatch(/^text\/html/);
    expect(page.headers['cache-control']).toBe('no-cache');
    expect(page.headers['etag']).toBeDefined();
    const script = await house.call(null, 'GET', '/assets/main-4f3a2b1c.js');
    expect(script.headers['cache-control']).toBe('public, max-age=31536000, immutable');
    expect((await house.call(null, 'GET', '/favicon.svg')).headers['cache-control']).toBe(
      'no-cache',
    );
  });

  it('give the page for unknown addresses to browsers only, and never below /api', async () => {
    const house = await openHouse({ dashboardFolder: builtDashboard() });
    const get = (url: string, accept: string) => house.app.inject({ url, headers: { accept } });
    const page = await get('/somewhere', 'text/html,*/*');
    expect(page.statusCode).toBe(200);
    expect(page.headers['cache-control']).toBe('no-cache');
    expect(page.body).toContain('<title>page</title>');
    expect((await get('/somewhere', 'application/json')).statusCode).toBe(404);
    expect((await get('/assets/gone-1234.js', '*/*')).statusCode).toBe(404);
    expect((await get('/api/somewhere', 'text/html')).statusCode).toBe(404);
    expect((await get('/metrics/x', 'text/html')).statusCode).toBe(404);
  });

  it('give the same page for every link, to be kept nowhere', async () => {
    const house = await openHouse({ dashboardFolder: builtDashboard() });
    for (const url of ['/p/some.link', '/p/made-up']) {
      const page = await house.call(null, 'GET', url);
      expect(page.statusCode).toBe(200);
      expect(page.body).toContain('<title>a page for you</title>');
      expect(page.headers).toMatchObject({
        'cache-control': 'no-store',
        'referrer-policy': 'no-referrer',
        'x-robots-tag': 'noindex, nofollow',
      });
    }
  });

  it('are not in the document of the API', async () => {
    const house = await openHouse({ dashboardFolder: builtDashboard() });
    const { paths } = (await house.call('office', 'GET', '/api/openapi.json')).json();
    expect(Object.keys(paths).filter((path) => !/^\/(api\/|metrics$)/.test(path))).toEqual([]);
  });

  it('cannot be left by dots', async () => {
    const house = await openHouse({ dashboardFolder: builtDashboard() });
    for (const url of ['/../package.json', '/..%2f..%2fetc/passwd', '/assets/../../x']) {
      expect((await house.call(null, 'GET', url)).statusCode).toBe(404);
    }
  });

  it('may be missing', async () => {
    const house = await openHouse({ dashboardFolder: join(tmpdir(), 'no-such-folder') });
    expect((await house.call(null, 'GET', '/')).statusCode).toBe(404);
    expect(house.log()).toContain('no index.html');
  });
});

describe('security headers', () => {
  it('let the page load its own files and nothing else', async () => {
    const house = await openHouse({ dashboardFolder: builtDashboard() });
    const { headers } = await house.call(null, 'GET', '/');
    const policy = String(headers['content-security-policy']);
    expect(policy).toContain("default-src 'self'");
    expect(policy).toContain("frame-ancestors 'none'");
    expect(policy).not.toMatch(/unsafe|upgrade-insecure|https:|\*/);
    expect(headers).toMatchObject({
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'no-referrer',
      'x-frame-options': 'DENY',
    });
    expect(headers).not.toHaveProperty('strict-transport-security');
    expect(headers).not.toHaveProperty('x-powered-by');
    expect(headers).not.toHaveProperty('access-control-allow-origin');
  });

  it('ask for https where that is the public address', async () => {
    const house = await openHouse({ publicUrl: 'https://units.example' });
    const { headers } = await house.call(null, 'GET', '/api/health');
    expect(headers['strict-transport-security']).toMatch(/max-age=\d+/);
  });
});

describe('compression', () => {
  it('makes long answers short for who takes it', async () => {
    const house = await openHouse();
    const units = Array.from({ length: 50 }, (_, at) => unitNamed('harbour', `rtu-${at}`));
    house.fleet = { ...house.fleet, units };
    const authorization = `Bearer ${await house.token('office')}`;
    const plain = await house.app.inject({ url: '/api/units', headers: { authorization } });
    const headers = { authorization, 'accept-encoding': 'gzip' };
    const packed = await house.app.inject({ url: '/api/units', headers });
    expect(packed.headers['content-encoding']).toBe('gzip');
    expect(gunzipSync(packed.rawPayload).toString()).toBe(plain.body);
    expect(packed.rawPayload.length).toBeLessThan(plain.body.length / 5);
  });
});

describe('metrics', () => {
  it('count requests by route template, method and status', async () => {
    const house = await openHouse();
    await house.call('office', 'GET', '/api/units/harbour/rtu-01');
    await house.call('office', 'GET', '/api/units/harbour/rtu-02');
    await house.call('office', 'GET', '/api/units/harbour/rtu-99');
    const response = await house.call('viewer', 'GET', '/metrics');
    expect(response.headers['content-type']).toMatch(/^text\/plain; version=0\.0\.4/);
    const route = 'method="GET",route="/api/units/:site/:unit"';
    expect(response.body).toContain(`lineside_http_request_seconds_count{${route},status="200"} 2`);
    expect(response.body).toContain(`lineside_http_request_seconds_count{${route},status="404"} 1`);
    expect(response.body).not.toContain('rtu-99');
  });
});

describe('the log', () => {
  it('holds no secret of an address', async () => {
    const house = await openHouse({
      records: () => ({
        invitation: () => {
          throw new Error('broken');
        },
      }),
    });
    const response = await house.call(null, 'GET', '/api/invitation/very-secret');
    expect(response.statusCode).toBe(500);
    expect(house.log()).toContain('broken');
    expect(house.log()).not.toContain('very-secret');
  });
});
