/** A backup is worth what comes back from it: restored into an empty place, compared by the API. */
import { execFileSync, spawn } from 'node:child_process';
import {
  cpSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { HAS_INFLUXD, startInfluxServer } from '../contracts/influx-server.ts';
import { AcknowledgedLoad, storedLeak } from '../faults/acknowledged-load.ts';
import { eventually } from './eventually.ts';
import { type Installation, install, nodeSignIn } from './installation.ts';
import { minutePack } from './packs.ts';
import { COMMAND, lineside, type ServerProcess, startServerProcess } from './server-process.ts';

const HOUR_MS = 3_600_000;
const SITE = 'harbour-mall';
const startMs = Math.floor(Date.now() / HOUR_MS) * HOUR_MS - 9 * 24 * HOUR_MS;

const places = mkdtempSync(join(tmpdir(), 'lineside-backup-'));
afterAll(() => rmSync(places, { recursive: true, force: true, maxRetries: 10, retryDelay: 50 }));
const at = (name: string): string => join(places, name);

/** What a person sees, but for what goes by the clock of the moment. */
async function seen(server: ServerProcess, office: string): Promise<unknown> {
  const get = async (path: string): Promise<unknown> => {
    const headers = { authorization: `Bearer ${office}` };
    const answer = await fetch(`${server.http}${path}`, { headers });
    expect([path, answer.status]).toEqual([path, 200]);
    return answer.json();
  };
  await eventually(
    () => get('/api/health'),
    (health) => (health as { pending: number }).pending === 0,
    { withinMs: 40_000 },
  );
  const fromTo = `from=${new Date(startMs).toISOString()}&to=${new Date().toISOString()}`;
  const unit = `/api/units/${SITE}/rtu-01`;
  const alarms = (await get('/api/alarms')) as { items: { id: string; kind: string }[] };
  return {
    alarms: alarms.items.filter(({ kind }) => kind !== 'silent'),
    chart: await get(`${unit}/telemetry?${fromTo}`),
    service: await get(`${unit}/service`),
    quarantine: await get('/api/quarantine'),
    episodes: await get(`${unit}/episodes`),
  };
}

describe('a backup of a server that runs', () => {
  let here: Installation;
  let before: unknown;
  let signIn: { readonly username: string; readonly password: string };

  beforeAll(async () => {
    here = await install();
    signIn = await nodeSignIn(here.place.data, SITE, 'rtu-01');
    const node = await mqtt.connectAsync(here.server.mqtt, { ...signIn, reconnectPeriod: 0 });
    const topic = `lineside/${SITE}/rtu-01/telemetry`;
    for (let part = 0; part < 9; part++) {
      const pack = minutePack(startMs + part * 24 * HOUR_MS, 720, part === 8 ? 14 : 1.2);
      await node.publishAsync(topic, pack, { qos: 1 });
    }
    await node.publishAsync(topic, 'no pack at all', { qos: 1 });
    await node.endAsync();
    const action = { time: new Date(startMs).toISOString(), action: 'fuses-replaced' };
    expect((await here.post(`/api/units/${SITE}/rtu-01/service`, action)).status).toBe(201);
    before = await seen(here.server, here.officeToken);
    const { items } = await here.get<{ items: { id: string; kind: string }[] }>('/api/alarms');
    const leakage = items.find(({ kind }) => kind === 'leakage');
    await here.post(`/api/alarms/${leakage?.id}/acknowledge`);
    before = await seen(here.server, here.officeToken);
    for (const args of [[at('one.tar.gz')], [at('folder')], [at('lines.tar'), '--readings']]) {
      const done = await lineside(['backup', '--data', here.place.data, '--out', ...args]);
      expect(done).toMatchObject({ status: 0 });
      expect(done.stdout).toContain('readings: 6480 ');
    }
  });
  afterAll(() => here.dispose());

  it.each(['folder', 'lines.tar'])(
    'as %s comes back with alarms, accounts, sign-ins, service, quarantine and charts',
    async (name) => {
      const data = at(`from-${name}`);
      const restored = await lineside(['restore', '--from', at(name), '--data', data]);
      expect(restored).toMatchObject({ status: 0, stderr: '' });
      expect(restored.stdout).toContain('readings: 6480 ');
      const server = await startServerProcess({ data, fleetFile: here.place.fleetFile });
      try {
        expect(await seen(server, here.officeToken)).toEqual(before);
        const node = await mqtt.connectAsync(server.mqtt, { ...signIn, reconnectPeriod: 0 });
        await node.endAsync();
      } finally {
        await server.stop();
      }
    },
  );

  it('is for its owner alone, and leaves nothing unfinished beside it', () => {
    expect(statSync(at('one.tar.gz')).mode & 0o077).toBe(0);
    expect(statSync(at('folder')).mode & 0o077).toBe(0);
    for (const name of readdirSync(at('folder'), { recursive: true }) as string[]) {
      expect([name, statSync(join(at('folder'), name)).mode & 0o077]).toEqual([name, 0]);
    }
    expect(readdirSync(places).filter((name) => name.includes('.part'))).toEqual([]);
  });

  it('is an archive that tar reads', () => {
    const list = execFileSync('tar', ['tzf', at('one.tar.gz')], { encoding: 'utf8' }).split('\n');
    expect(list).toContain('manifest.json');
    expect(list).toContain('records.db');
    expect(list.filter((name) => name.startsWith('telemetry/'))).toHaveLength(2);
  });

  it('is not taken over another one, nor restored over anything', async () => {
    const again = ['backup', '--data', here.place.data, '--out', at('folder')];
    expect(await lineside(again)).toMatchObject({ status: 2 });
    const over = await lineside(['restore', '--from', at('folder'), '--data', here.place.data]);
    expect(over.status).toBe(2);
    expect(over.stderr).toContain('is not empty');
  });

  const refused = async (from: string, words: string): Promise<void> => {
    const data = at('refused');
    const answer = await lineside(['restore', '--from', from, '--data', data]);
    expect(answer.status).toBe(2);
    expect(answer.stderr).toContain(words);
    expect(existsSync(data)).toBe(false);
  };

  it('is refused when a byte of it is another, or its end is missing', async () => {
    const bytes = readFileSync(at('lines.tar'));
    const middle = bytes.length >> 1;
    bytes[middle] = (bytes[middle] ?? 0) ^ 1;
    writeFileSync(at('bit.tar'), bytes);
    await refused(at('bit.tar'), 'is not what was saved');
    cpSync(at('one.tar.gz'), at('short.tar.gz'));
    truncateSync(at('short.tar.gz'), statSync(at('one.tar.gz')).size - 2_000);
    await refused(at('short.tar.gz'), 'is damaged');
    cpSync(at('folder'), at('lacking'), { recursive: true });
    rmSync(join(at('lacking'), 'records.db'));
    await refused(at('lacking'), 'records.db is missing');
  });

  it('is refused when a newer version took it', async () => {
    cpSync(at('folder'), at('newer'), { recursive: true });
    const file = join(at('newer'), 'manifest.json');
    writeFileSync(file, readFileSync(file, 'utf8').replace('"format": 1', '"format": 2'));
    await refused(at('newer'), 'backup format 2');
  });

  describe.skipIf(!HAS_INFLUXD)("with InfluxDB (needs influxd, Debian's package influxdb)", () => {
    it('moves there, is saved from there, and comes back as files', async () => {
      const influx = await startInfluxServer();
      const env = { LINESIDE_INFLUX_URL: influx.url };
      try {
        const moved = at('moved');
        const into = ['restore', '--from', at('one.tar.gz'), '--data', moved];
        expect(await lineside(into, env)).toMatchObject({ status: 0, stderr: '' });
        expect(existsSync(join(moved, 'telemetry'))).toBe(false);
        const twice = ['restore', '--from', at('lines.tar'), '--data', at('twice')];
        expect((await lineside(twice, env)).stderr).toContain('has readings already');

        const unsaid = ['backup', '--data', moved, '--out', at('influx.tgz')];
        expect((await lineside(unsaid, env)).stderr).toContain('--readings');
        const saved = await lineside([...unsaid, '--readings'], env);
        expect(saved.stdout).toContain('readings: 6480 as lines');
        const back = at('back');
        expect(
          await lineside(['restore', '--from', at('influx.tgz'), '--data', back]),
        ).toMatchObject({ status: 0 });
        const server = await startServerProcess({ data: back, fleetFile: here.place.fleetFile });
        try {
          expect(await seen(server, here.officeToken)).toEqual(before);
        } finally {
          await server.stop();
        }
      } finally {
        await influx.stop();
      }
    });
  });

  it('is whole or not there when it is killed, and the server is killed beside it', async () => {
    const node = await here.node('hilltop-school', 'rtu-11');
    const load = new AcknowledgedLoad(node, 'lineside/hilltop-school/rtu-11/telemetry', startMs);
    const grown = (count: number): Promise<number> => {
      const enough = load.acknowledged.length + count;
      return eventually(
        async () => load.acknowledged.length,
        (now) => now >= enough,
        { withinMs: 30_000 },
      );
    };
    await grown(200);
    const args = ['backup', '--data', here.place.data, '--out', at('killed.tar.gz')];
    for (const afterMs of [300, 600]) {
      expect(await killedAfter(args, afterMs)).toBe('SIGKILL');
      expect(existsSync(at('killed.tar.gz'))).toBe(false);
    }
    const acknowledgedBefore = [...load.acknowledged];
    const backup = lineside(args);
    await grown(20);
    await here.server.kill();
    load.stop();
    expect(await backup).toMatchObject({ status: 0 });
    expect(readdirSync(places).filter((name) => name.includes('.part'))).toEqual([]);

    const data = at('under-load');
    expect(
      await lineside(['restore', '--from', at('killed.tar.gz'), '--data', data]),
    ).toMatchObject({ status: 0 });
    const server = await startServerProcess({ data, fleetFile: here.place.fleetFile });
    try {
      const unit = ['hilltop-school', 'rtu-11'] as const;
      const endMs = startMs + 20 * 24 * HOUR_MS;
      const stored = await storedLeak(server, here.officeToken, ...unit, startMs, endMs);
      const times = new Set(stored.map(([atMs]) => atMs));
      expect(times.size).toBe(stored.length);
      expect(acknowledgedBefore.filter((atMs) => !times.has(atMs))).toEqual([]);
    } finally {
      await server.stop();
    }
  });
});

/** Runs the command and kills it; gives the signal that ended it. */
async function killedAfter(args: readonly string[], ms: number): Promise<string | null> {
  const child = spawn(process.execPath, [COMMAND, ...args], { stdio: 'ignore' });
  const ended = new Promise<string | null>((resolve) => {
    child.on('exit', (_status, signal) => resolve(signal));
  });
  await new Promise((resolve) => setTimeout(resolve, ms));
  child.kill('SIGKILL');
  return ended;
}
