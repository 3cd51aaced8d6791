/** The lines of the README, run with Debian's mosquitto clients against the embedded broker. */
import { execFile, spawn, spawnSync } from 'node:child_process';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from './eventually.ts';
import { type Installation, install, nodeSignIn, token } from './installation.ts';
import { minutePack } from './packs.ts';

const run = promisify(execFile);
const MINUTE_MS = 60_000;
const missing = ['mosquitto_pub', 'mosquitto_sub'].filter(
  (name) => spawnSync(name, ['--help']).error !== undefined,
);

/** As in the README. */
const PACK =
  '[{"n":"rh","u":"%RH","v":71.2},{"n":"t","u":"Cel","v":-3.1},{"n":"leak","u":"A","v":0.0019},' +
  '{"n":"ia","u":"A","v":17.2},{"n":"ib","u":"A","v":17.0},{"n":"ic","u":"A","v":17.3}]';

describe.skipIf(missing.length > 0)(
  "Debian's mosquitto clients (package mosquitto-clients)",
  () => {
    let here: Installation;
    let server: string[];
    let node: string[];
    beforeAll(async () => {
      here = await install();
      server = ['-h', '127.0.0.1', '-p', new URL(here.server.mqtt).port];
      const { username, password } = await nodeSignIn(here.place.data, 'harbour-mall', 'rtu-01');
      node = ['-u', username, '-P', password, '-t', 'lineside/harbour-mall/rtu-01/telemetry'];
    });
    afterAll(() => here.dispose());

    it.each(['mqttv31', 'mqttv311'])('publish a reading that is stored, by %s', async (version) => {
      const before = Date.now();
      await run('mosquitto_pub', [...server, ...node, '-V', version, '-q', '1', '-m', PACK]);
      const { lastReading } = await here.get<{ lastReading: { time: string; channels: object } }>(
        '/api/units/harbour-mall/rtu-01',
      );
      expect(Date.parse(lastReading.time)).toBeGreaterThanOrEqual(before);
      expect(lastReading.channels).toEqual({
        rh: 71.2,
        t: -3.1,
        leak: 0.0019,
        ia: 17.2,
        ib: 17,
        ic: 17.3,
      });
    });

    it('are refused without a sign-in', async () => {
      await expect(
        run('mosquitto_pub', [
          ...server,
          '-q',
          '1',
          '-t',
          'lineside/harbour-mall/rtu-01/telemetry',
          '-m',
          '[]',
        ]),
      ).rejects.toThrow();
    });

    it('hear an alarm of the sites of a viewer, and of no other', async () => {
      const viewer = await token(here.place.data, ['--role', 'viewer', '--site', 'harbour-mall']);
      const heard: string[] = [];
      const subscriber = spawn('mosquitto_sub', [
        ...server,
        '-u',
        'token',
        '-P',
        viewer,
        '-q',
        '1',
        '-v',
        '-t',
        'lineside/+/+/alarm/+',
      ]);
      subscriber.stdout.setEncoding('utf8').on('data', (text: string) => heard.push(text));
      const startMs = Math.floor(Date.now() / MINUTE_MS) * MINUTE_MS - 40 * MINUTE_MS;
      for (const [site, unit] of [
        ['hilltop-school', 'rtu-11'],
        ['harbour-mall', 'rtu-02'],
      ] as const) {
        const { username, password } = await nodeSignIn(here.place.data, site, unit);
        const topic = `lineside/${site}/${unit}/telemetry`;
        const publisher = spawn('mosquitto_pub', [
          ...server,
          '-u',
          username,
          '-P',
          password,
          '-q',
          '1',
          '-t',
          topic,
          '-s',
        ]);
        publisher.stdin.end(minutePack(startMs, 30, 14));
        expect(await new Promise((resolve) => publisher.on('exit', resolve))).toBe(0);
      }
      await eventually(
        async () => heard.join(''),
        (text) => text.includes('"leakage"'),
      );
      subscriber.kill();
      expect(heard.join('')).toMatch(/^lineside\/harbour-mall\/rtu-02\/alarm\/leakage \{/m);
      expect(heard.join('')).not.toContain('hilltop-school');
    });
  },
);
