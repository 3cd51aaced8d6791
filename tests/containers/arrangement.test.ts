/** From `docker compose up` to an alarm, over TLS in and HTTPS out, each service by itself. */
import { execFile } from 'node:child_process';
import { join } from 'node:path';
import { promisify } from 'node:util';
import mqtt from 'mqtt';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { eventually } from '../end-to-end/eventually.ts';
import { minutePack } from '../end-to-end/packs.ts';
import {
  type Arrangement,
  composeCommand,
  DOMAIN,
  layOutArrangement,
  SERVERS,
} from './arrangement.ts';
import { buildLinesideImage, LINESIDE_IMAGE } from './lineside-image.ts';
import { describeOnEngine } from './on-engine.ts';

const UP_WITHIN_MS = 240_000;
/** Of a busy machine. */
const WELL_WITHIN_MS = 180_000;
const MINUTE_MS = 60_000;
/** What an address may ask of sign-in at once. */
const SIGN_IN_BURST = 20;

const FLEET = `
sites:
  - id: harbour-mall
    units:
      - { id: rtu-01, supply: { volts: 600 } }
      - { id: rtu-02, supply: { volts: 600 } }
`;

const command = await composeCommand();
const missing = ' (skipped: neither docker compose nor docker-compose is installed)';

describeOnEngine('the arrangement of containers', () => {
  vi.setConfig({ testTimeout: UP_WITHIN_MS });
  describe.skipIf(command === null)(`brought up by compose${command ? '' : missing}`, () => {
    let here: Arrangement;
    let token = '';

    beforeAll(async () => {
      const proxyImage = join(import.meta.dirname, 'proxy-image.sh');
      await promisify(execFile)('bash', [proxyImage]);
      await buildLinesideImage(LINESIDE_IMAGE, ['--build-arg', 'SOURCE_DATE_EPOCH=1700000000']);
      here = await layOutArrangement(command ?? [], FLEET);
      await here.compose('config', '--quiet');
      await here.compose('up', '--detach', '--no-build');
    }, UP_WITHIN_MS);
    afterAll(() => here?.dispose());

    const house = async () => {
      const { status, body } = await here.ask('/api/health');
      return status === 200 ? JSON.parse(body) : { state: `${status}: ${body}` };
    };
    const signIn = async (unit: string): Promise<{ username: string; password: string }> => {
      const args = ['run', '--rm', '-T', 'broker-files'];
      const made = await here.compose(...args, 'node', 'create', 'harbour-mall', unit);
      await here.compose(...args);
      const [, username = '', password = ''] = /username=(.+)\npassword=(.+)\n/.exec(made) ?? [];
      return { username, password };
    };

    it('is healthy in every part', async () => {
      const healths = async () => {
        const containers = await here.containers();
        return SERVERS.map((name) => `${name} ${containers.get(name)?.State.Health?.Status}`);
      };
      const isWell = (all: readonly string[]) => all.every((one) => one.endsWith(' healthy'));
      await eventually(healths, isWell, { withinMs: WELL_WITHIN_MS });
      await eventually(house, ({ state }) => state === 'ok', { withinMs: WELL_WITHIN_MS });
    });

    it('confines each server, and publishes proxy and broker only', async () => {
      const containers = await here.containers();
      for (const name of SERVERS) {
        const { Config, HostConfig } = containers.get(name)!;
        expect(HostConfig, name).toMatchObject({
          ReadonlyRootfs: true,
          CapDrop: ['ALL'],
          CapAdd: name === 'proxy' ? ['NET_BIND_SERVICE'] : null,
          SecurityOpt: ['no-new-privileges:true'],
          PidsLimit: 200,
          RestartPolicy: { Name: 'unless-stopped' },
        });
        expect(Config.User, name).toBe('10001:10001');
        expect(HostConfig.Memory, name).toBeGreaterThan(0);
        expect(HostConfig.NanoCpus, name).toBeGreaterThan(0);
        const published = Object.keys(HostConfig.PortBindings ?? {}).sort();
        const expected = { proxy: ['443/tcp', '80/tcp'], broker: ['8883/tcp'] };
        expect(published, name).toEqual(expected[name as keyof typeof expected] ?? []);
      }
    });

    it('gives the first person a link to the pages, which the proxy serves', async () => {
      const link = await here.compose('exec', '-T', 'api', 'lineside', 'invite');
      expect(link).toMatch(new RegExp(`^https://${DOMAIN}/#/welcome/\\S{20,}\\n$`));
      expect((await here.ask('/')).body).toContain('<!doctype html>');
      expect((await here.ask('/metrics')).status).toBe(404);
    });

    it('makes an alarm of what a node that was added sends over TLS', async () => {
      const made = ['token', 'create', '--role', 'office'];
      token = (await here.compose('exec', '-T', 'api', 'lineside', ...made)).trim();
      const { username, password } = await signIn('rtu-01');
      const { url, ca } = await here.broker();
      const connect = () =>
        mqtt.connectAsync(url, {
          ...{ username, password, clientId: username, ca, servername: DOMAIN },
          ...{ host: '127.0.0.1', reconnectPeriod: 0 },
        });
      // The broker looks for new files every five seconds.
      const node = await eventually(
        () => connect().catch(() => null),
        (client) => client !== null,
        { withinMs: WELL_WITHIN_MS, everyMs: 500 },
      );
      const startMs = Math.floor(Date.now() / MINUTE_MS) * MINUTE_MS - 30 * MINUTE_MS;
      const topic = `lineside/${username}/telemetry`;
      await node?.publishAsync(topic, minutePack(startMs, 15, 1.2), { qos: 1 });
      await node?.publishAsync(topic, minutePack(startMs + 15 * MINUTE_MS, 12, 34), { qos: 1 });
      await node?.endAsync();
      const alarms = async () => {
        const headers = { authorization: `Bearer ${token}` };
        const { body } = await here.ask('/api/alarms?state=open', headers);
        return JSON.parse(body);
      };
      const heard = await eventually(alarms, ({ items }) => items?.length > 0, {
        withinMs: WELL_WITHIN_MS,
        everyMs: 250,
      });
      expect(heard.items[0]).toMatchObject({ unit: 'rtu-01', kind: 'leakage' });
    });

    it('counts a client by its own address, whatever it writes into its headers', async () => {
      const guess = (at: number) =>
        here.ask('/api/invitation/guessed', { 'x-forwarded-for': `198.51.100.${at}` });
      const statuses: number[] = [];
      for (let at = 0; at <= SIGN_IN_BURST; at += 1) statuses.push((await guess(at)).status);
      expect(statuses.at(0)).toBe(404);
      expect(statuses.at(-1)).toBe(429);
      // None of it was counted as the proxy's, whose address all of them came from.
      const fromProxy = ['exec', '-T', 'proxy', 'busybox', 'wget', '-O', '-'];
      const byProxy = here.compose(...fromProxy, 'http://api:8080/api/invitation/guessed');
      await expect(byProxy).rejects.toThrow('404 Not Found');
    });

    it('stops in order', async () => {
      await here.compose('stop');
      const containers = await here.containers();
      const statuses = [...containers].map(([name, { State }]) => `${name} ${State.ExitCode}`);
      expect(statuses.filter((one) => !one.endsWith(' 0'))).toEqual([]);
    });
  });
});
