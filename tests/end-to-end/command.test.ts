/** The command as its users meet it: exit statuses, one-line errors, credentials beside a running server. */
import { spawn } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { token } from './installation.ts';
import {
  COMMAND,
  lineside,
  type ServerProcess,
  startServerProcess,
  temporaryPlace,
} from './server-process.ts';

describe('lineside without a server', () => {
  const place = temporaryPlace();
  afterAll(() => place.dispose());

  it('explains itself', async () => {
    const help = await lineside(['--help']);
    expect(help.status).toBe(0);
    for (const word of ['serve', 'simulate', 'token', 'node', 'demo', 'no protective device']) {
      expect(help.stdout).toContain(word);
    }
  });

  it('lists every setting of serve', async () => {
    const { stdout } = await lineside(['serve', '--help']);
    for (const name of [
      'HTTP_PORT',
      'MQTT_PORT',
      'MQTT_URL',
      'INFLUX_URL',
      'INFLUX_TOKEN',
      'INFLUX_ORG',
      'INFLUX_BUCKET',
      'POSTGRES_URL',
      'DATA',
      'RETENTION_DAYS',
      'PUBLIC_URL',
      'HTTP_HOST',
      'MQTT_HOST',
    ]) {
      expect(stdout).toContain(`LINESIDE_${name}`);
    }
  });

  it.each([
    ['an unknown command', ['serv'], /serv/],
    ['an unknown option', ['serve', '--flet', 'x'], /--flet/],
    ['a service alone without a broker', ['serve', '--only', 'api'], /set LINESIDE_MQTT_URL/],
    ['no data folder', ['serve', '--fleet', 'x.yaml'], /--data/],
    [
      'a fleet file that is not there',
      ['serve', '--fleet', 'none.yaml', '--data', place.data],
      /none\.yaml/,
    ],
    [
      'a role that does not exist',
      ['token', 'create', '--role', 'boss', '--data', place.data],
      /boss/,
    ],
    ['to invite a role that does not exist', ['invite', '--role', 'boss'], /boss/],
    ['to invite where nothing is', ['invite', '--data', '/nowhere'], /no data folder of a server/],
    [
      'an id that is none',
      ['node', 'create', 'Harbour', 'rtu-01', '--data', place.data],
      /Harbour/,
    ],
  ])('refuses %s with status 2 and at most two lines', async (_title, args, words) => {
    const { status, stdout, stderr } = await lineside(args, { LINESIDE_LOG_LEVEL: 'error' });
    expect(status).toBe(2);
    expect(stdout).toBe('');
    expect(stderr).toMatch(words);
    expect(stderr.trim().split('\n').length).toBeLessThanOrEqual(2);
  });

  it('names file, place and expectation of a fleet mistake', async () => {
    const file = join(place.data, '..', 'wrong.yaml');
    writeFileSync(file, 'sites: [ { id: a, units: [ { id: u1, supply: { volts: lots } } ] } ]');
    const { status, stderr } = await lineside(['serve', '--fleet', file, '--data', place.data], {
      LINESIDE_LOG_LEVEL: 'error',
    });
    expect(status).toBe(2);
    expect(stderr).toContain('wrong.yaml');
    expect(stderr).toContain('sites[0].units[0].supply.volts');
    expect(stderr).not.toContain('    at ');
  });

  it('refuses settings that this version has not, and bad ones', async () => {
    const args = ['serve', '--fleet', place.fleetFile, '--data', place.data];
    const later = await lineside(args, { LINESIDE_POSTGRES_URL: 'postgres://127.0.0.1:1' });
    expect([later.status, later.stderr]).toEqual([
      2,
      expect.stringContaining('LINESIDE_POSTGRES_URL'),
    ]);
    const port = await lineside(args, { LINESIDE_HTTP_PORT: 'eighty' });
    expect([port.status, port.stderr]).toEqual([2, expect.stringContaining('LINESIDE_HTTP_PORT')]);
  });

  it('makes credentials before the first start', async () => {
    const made = await lineside([
      'node',
      'create',
      'harbour-mall',
      'rtu-01',
      'weather',
      '--data',
      place.data,
    ]);
    expect(made.status).toBe(0);
    expect(made.stdout).toMatch(/^(username=\S+\npassword=\S+\n){2}$/);
    expect(made.stderr).toMatch(/warning: harbour-mall\/rtu-01 is not in the fleet/);
  });
});

describe('lineside serve', () => {
  const place = temporaryPlace();
  let server: ServerProcess;
  beforeAll(async () => {
    server = await startServerProcess(place);
  });
  afterAll(async () => {
    await server.kill();
    place.dispose();
  });

  it('prints exactly one line when both listeners accept, and a one-time link apart from it', async () => {
    expect(server.stdout()).toMatch(
      /^ready http=http:\/\/127\.0\.0\.1:\d+ mqtt=mqtt:\/\/127\.0\.0\.1:\d+\n$/,
    );
    expect(server.stderr()).toMatch(/#\/welcome\/\S{20,}/);
    const health = await fetch(`${server.http}/api/health`);
    expect(health.status).toBe(200);
    expect(await health.json()).toMatchObject({ pending: 0 });
  });

  it('prints links by which people get accounts of a role, once each, while it runs', async () => {
    const args = ['invite', '--role', 'viewer', '--site', 'harbour-mall', '--data', place.data];
    const made = await lineside(args, { LINESIDE_PUBLIC_URL: 'https://roofs.example/' });
    expect([made.status, made.stderr]).toEqual([0, '']);
    const secret = /^https:\/\/roofs\.example\/#\/welcome\/(\S{20,})\n$/.exec(made.stdout)?.[1];
    const accept = () =>
      fetch(`${server.http}/api/invitation`, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify({
          ...{ secret, username: 'robin', displayName: 'Robin' },
          password: 'four wet squirrels',
        }),
      });
    const accepted = await accept();
    expect(accepted.status).toBe(201);
    expect(await accepted.json()).toMatchObject({
      person: { role: 'viewer', sites: ['harbour-mall'] },
    });
    expect((await accept()).status).toBe(404);
  });

  it('takes tokens and node sign-ins that are made or revoked while it runs', async () => {
    const office = await token(place.data, ['--role', 'office']);
    const units = await fetch(`${server.http}/api/units`, {
      headers: { authorization: `Bearer ${office}` },
    });
    expect(units.status).toBe(200);

    const first = await lineside([
      'node',
      'create',
      'harbour-mall',
      'rtu-01',
      '--data',
      place.data,
    ]);
    expect(first.stderr).toBe('');
    const second = await lineside([
      'node',
      'create',
      'harbour-mall',
      'rtu-01',
      '--data',
      place.data,
    ]);
    const read = (text: string) => ({
      username: /username=(.+)/.exec(text)![1]!,
      password: /password=(.+)/.exec(text)![1]!,
    });
    const connect = (signIn: { username: string; password: string }) =>
      mqtt.connectAsync(server.mqtt, { ...signIn, reconnectPeriod: 0 });
    await expect(connect(read(first.stdout))).rejects.toThrow();
    const client = await connect(read(second.stdout));
    const ended = new Promise((resolve) => client.once('close', () => resolve('ended')));
    const revoke = ['node', 'revoke', 'harbour-mall', 'rtu-01', '--data', place.data];
    expect((await lineside(revoke)).stdout).toBe('revoked harbour-mall/rtu-01\n');
    expect(await ended).toBe('ended');
    await expect(connect(read(second.stdout))).rejects.toThrow();
  });

  it('refuses a second server on its folder with status 3', async () => {
    const { status, stderr } = await lineside(
      ['serve', '--fleet', place.fleetFile, '--data', place.data],
      { LINESIDE_HTTP_PORT: '0', LINESIDE_MQTT_PORT: '0' },
    );
    expect(status).toBe(3);
    expect(stderr).toMatch(/in use/);
  });

  it.each(['LINESIDE_HTTP_PORT', 'LINESIDE_MQTT_PORT'])(
    'refuses a port in use with status 3 and names %s',
    async (name) => {
      const other = temporaryPlace();
      const taken = createServer().listen(0, '127.0.0.1');
      await new Promise((resolve) => taken.once('listening', resolve));
      const { port } = taken.address() as { port: number };
      const ports = {
        LINESIDE_HTTP_PORT: '0',
        LINESIDE_MQTT_PORT: '0',
        LINESIDE_LOG_LEVEL: 'error',
      };
      const { status, stderr } = await lineside(
        ['serve', '--fleet', other.fleetFile, '--data', other.data],
        { ...ports, [name]: String(port) },
      );
      taken.close();
      other.dispose();
      expect(status).toBe(3);
      expect(stderr).toContain(name);
    },
  );

  it('ends at SIGTERM within ten seconds, status 0', async () => {
    const startedAt = performance.now();
    expect(await server.stop()).toBe(0);
    expect(performance.now() - startedAt).toBeLessThan(10_000);
  });
});

describe('a server that is told to stop', () => {
  it('ends with status 0 also while it starts', async () => {
    const place = temporaryPlace();
    const child = spawn(
      process.execPath,
      [COMMAND, 'serve', '--fleet', place.fleetFile, '--data', place.data],
      {
        env: { ...process.env, LINESIDE_HTTP_PORT: '0', LINESIDE_MQTT_PORT: '0' },
        stdio: ['ignore', 'pipe', 'pipe'],
      },
    );
    let stdout = '';
    let signalled = '';
    child.stdout.setEncoding('utf8').on('data', (text: string) => {
      stdout += text;
    });
    // The first words on standard error tell of the fleet file, long before the server is ready.
    child.stderr.setEncoding('utf8').once('data', () => {
      signalled = stdout === '' ? 'while it started' : 'too late';
      child.kill('SIGTERM');
    });
    const status = await new Promise((resolve) => child.on('exit', resolve));
    place.dispose();
    expect(signalled).toBe('while it started');
    expect(status).toBe(0);
  });
});
