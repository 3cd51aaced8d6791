/** The image as a firm would run it: all in one, its root read-only, its user nobody special. */
import { randomBytes, randomUUID } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { afterAll, beforeAll, expect, it, vi } from 'vitest';
import { freePort } from '../contracts/free-port.ts';
import { eventually } from '../end-to-end/eventually.ts';
import { minutePack } from '../end-to-end/packs.ts';
import { buildLinesideImage, docker, LINESIDE_IMAGE } from './lineside-image.ts';
import { describeOnEngine } from './on-engine.ts';

/** As CONTAINERS.md states it, with room for what a month adds. */
const MOST_IMAGE_BYTES = 140_000_000;
const STOP_WITHIN_SECONDS = '10';
const START_WITHIN_MS = 120_000;
const BUILD_WITHIN_MS = 240_000;
const MINUTE_MS = 60_000;
const AT_A_TIME = ['--build-arg', 'SOURCE_DATE_EPOCH=1700000000'];
/** Swept with the others when a run is killed. */
const LABEL = 'org.testcontainers=true';

const FLEET = `
sites:
  - id: harbour-mall
    units: [{ id: rtu-01, supply: { volts: 600 } }]
`;

const inspect = async (what: string, format: string): Promise<string> =>
  (await docker('inspect', '-f', format, what)).stdout.trim();

describeOnEngine('the image', () => {
  vi.setConfig({ testTimeout: BUILD_WITHIN_MS });
  const folder = mkdtempSync(join(tmpdir(), 'lineside-image-'));
  const name = `lineside-${randomUUID()}`;
  let http = '';
  let broker = '';

  const lineside = async (...args: readonly string[]): Promise<string> =>
    (await docker('exec', name, 'lineside', ...args)).stdout;
  const node = async (script: string): Promise<string> =>
    (await docker('exec', name, 'node', '-e', script)).stdout.trim();
  const isReady = () =>
    eventually(
      async () => (await docker('logs', name)).stdout,
      (log) => log.startsWith('ready '),
      { withinMs: START_WITHIN_MS },
    );

  beforeAll(async () => {
    await buildLinesideImage(LINESIDE_IMAGE, AT_A_TIME);
    writeFileSync(join(folder, 'fleet.yaml'), FLEET, { mode: 0o644 });
    const [httpPort, mqttPort] = [await freePort(), await freePort()];
    http = `http://127.0.0.1:${httpPort}`;
    broker = `mqtt://127.0.0.1:${mqttPort}`;
    // Its bystander must not outlast it, and this setting brings it.
    const ping = { url: 'https://ping.example', secret: randomBytes(32).toString('base64') };
    await docker(
      ...['run', '--detach', '--name', name, '--label', LABEL, '--read-only'],
      ...['--tmpfs', '/tmp:size=64m', '--cap-drop', 'ALL'],
      ...['--security-opt', 'no-new-privileges', '--memory', '512m', '--pids-limit', '200'],
      ...['--health-interval', '1s'],
      ...['--mount', `type=bind,source=${join(folder, 'fleet.yaml')},target=/fleet.yaml,readonly`],
      ...['--publish', `${httpPort}:8080`, '--publish', `${mqttPort}:1883`],
      ...['--env', 'LINESIDE_FLEET=/fleet.yaml', '--env', `LINESIDE_PING_URL=${ping.url}`],
      ...['--env', `LINESIDE_PING_SECRET=whsec_${ping.secret}`, LINESIDE_IMAGE],
    );
    await isReady();
  }, BUILD_WITHIN_MS);
  afterAll(async () => {
    await docker('rm', '--force', '--volumes', name).catch(() => {});
    rmSync(folder, { recursive: true });
  });

  it('is no larger than stated, and has no shell, npm, compiler or sources', async () => {
    expect(Number(await inspect(LINESIDE_IMAGE, '{{.Size}}'))).toBeLessThan(MOST_IMAGE_BYTES);
    const files: string[] = JSON.parse(
      await node(`
        const tops = fs.readdirSync('/').filter((top) => !['dev', 'proc', 'sys'].includes(top));
        const below = (top) => fs.readdirSync('/' + top, { recursive: true });
        const isFolder = (top) => fs.statSync('/' + top).isDirectory();
        const all = tops.filter(isFolder).flatMap((top) => below(top).map((name) => top + '/' + name));
        console.log(JSON.stringify(all));
      `),
    );
    expect(files).toContain('app/services/lineside/bin/lineside.mjs');
    expect(files).toContain('app/services/dashboard/dist/index.html');
    const tools = /(^|\/)(sh|bash|busybox|env|npm|npx|corepack|gcc|g\+\+|cc|make|python3?)$/;
    expect(files.filter((file) => tools.test(file))).toEqual([]);
    const unwanted = /\.(ts|map|c|h|cc|o)$|node_modules\/(typescript|vite|vitest)\//;
    expect(files.filter((file) => unwanted.test(file))).toEqual([]);
  });

  it(
    'has the same layers when it is built again from the same',
    async () => {
      const again = 'lineside-test/lineside:again';
      await buildLinesideImage(again, [...AT_A_TIME, '--no-cache']);
      const layers = (image: string) => inspect(image, '{{json .RootFS.Layers}}');
      expect(await layers(again)).toBe(await layers(LINESIDE_IMAGE));
      expect(await inspect(again, '{{.Id}}')).not.toBe(await inspect(LINESIDE_IMAGE, '{{.Id}}'));
      await docker('rmi', again);
    },
    BUILD_WITHIN_MS,
  );

  it('runs as a user of its own, which can write data and nothing else', async () => {
    const write = (path: string) =>
      `try { fs.writeFileSync('${path}', ''); say.push('ok') } catch (e) { say.push(e.code) }`;
    const places = ['/data/probe', '/tmp/probe', '/probe', '/app/probe', '/etc/passwd'];
    const script = `const say = []; ${places.map(write).join(';')}; console.log(say.join(' '))`;
    expect(await node(script)).toBe('ok ok EROFS EROFS EROFS');
    expect(await node('console.log(process.getuid(), process.getgid())')).toBe('10001 10001');
  });

  it('takes a reading from a node and gives it back', async () => {
    const made = await lineside('node', 'create', 'harbour-mall', 'rtu-01');
    const [, username = '', password = ''] = /^username=(.+)\npassword=(.+)\n$/.exec(made) ?? [];
    const token = (await lineside('token', 'create', '--role', 'office')).trim();
    const client = await mqtt.connectAsync(broker, { username, password, reconnectPeriod: 0 });
    const startMs = Math.floor(Date.now() / MINUTE_MS) * MINUTE_MS - 10 * MINUTE_MS;
    await client.publishAsync(
      'lineside/harbour-mall/rtu-01/telemetry',
      minutePack(startMs, 5, 1.2),
      { qos: 1 },
    );
    await client.endAsync();
    const query = `channels=leak&from=${new Date(startMs).toISOString()}`;
    const answer = await fetch(`${http}/api/units/harbour-mall/rtu-01/telemetry?${query}`, {
      headers: { authorization: `Bearer ${token}` },
    });
    expect(await answer.json()).toMatchObject({ channels: { leak: { points: { length: 5 } } } });
    expect(await (await fetch(http)).text()).toContain('<!doctype html>');
  });

  it('says that it is healthy', async () => {
    await eventually(
      () => inspect(name, '{{.State.Health.Status}}'),
      (status) => status === 'healthy',
      { withinMs: START_WITHIN_MS },
    );
  });

  it('stops in time at SIGTERM, with its bystander, and says that all is well', async () => {
    await eventually(
      async () => (await docker('top', name)).stdout,
      (processes) => processes.includes('bystander'),
    );
    // Killed after that, its status would be 137.
    await docker('stop', '--time', STOP_WITHIN_SECONDS, name);
    expect(await inspect(name, '{{.State.ExitCode}} {{.State.OOMKilled}}')).toBe('0 false');
  });

  it('ends at SIGTERM also in a command that does not listen to it', async () => {
    const waiting = `${name}-waiting`;
    await docker(
      ...['run', '--detach', '--interactive', '--name', waiting, '--label', LABEL],
      ...['--mount', `type=bind,source=${join(folder, 'fleet.yaml')},target=/fleet.yaml,readonly`],
      ...[LINESIDE_IMAGE, 'backtest', '--fleet', '/fleet.yaml', '--telemetry', '-'],
      ...['--alarms', '/tmp/alarms'],
    );
    // Again and again, since until Node itself runs nobody can listen.
    const status = () => inspect(waiting, '{{.State.Status}} {{.State.ExitCode}}');
    await eventually(
      async () => {
        await docker('kill', '--signal', 'TERM', waiting).catch(() => {});
        return status();
      },
      (now) => now.startsWith('exited'),
      { withinMs: START_WITHIN_MS, everyMs: 500 },
    );
    expect(await status()).toBe('exited 143');
    await docker('rm', '--volumes', waiting);
  });

  it('starts again over its data after a kill', async () => {
    await docker('start', name);
    await docker('kill', name);
    await docker('start', name);
    await eventually(
      async () => (await fetch(`${http}/api/health`).catch(() => null))?.status,
      (status) => status === 200,
      { withinMs: START_WITHIN_MS },
    );
    const script = `console.log(fs.statSync('/data/records.db').uid)`;
    expect(await node(script)).toBe('10001');
  });
});
