/** The house behind a Mosquitto that its own command configured: sign-ins, rules, simulated nodes. */
import { spawn } from 'node:child_process';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { HAS_MOSQUITTO } from '../contracts/mosquitto-server.ts';
import { type BrokerPlace, heardBy, startBrokerPlace } from './broker-place.ts';
import { eventually } from './eventually.ts';
import { COMMAND, type ServerProcess, startServerProcess } from './server-process.ts';

const WITHIN = { withinMs: 60_000, everyMs: 200 };

interface Health {
  readonly broker: { readonly state: string; readonly reason: string | null };
}

describe.skipIf(!HAS_MOSQUITTO)('behind Mosquitto (needs Debian package mosquitto)', () => {
  let place: BrokerPlace;
  let server: ServerProcess;
  let env: Record<string, string>;

  beforeAll(async () => {
    place = await startBrokerPlace(
      () => [],
      async ({ node }) => void (await node('harbour-mall', 'rtu-01')),
    );
    env = {
      LINESIDE_MQTT_URL: `mqtt://lineside@127.0.0.1:${place.housePort}`,
      LINESIDE_MQTT_PASSWORD: place.ownPassword,
    };
    server = await startServerProcess(place, env);
  });
  afterAll(async () => {
    await server.stop();
    await place.stop();
  });

  it('is let in, and shows the address without the password', async () => {
    expect(server.stdout()).toContain(` mqtt=mqtt://127.0.0.1:${place.housePort}\n`);
    expect(server.stderr()).toContain('LINESIDE_MQTT_PORT is ignored');
    expect(server.stdout() + server.stderr()).not.toContain(place.ownPassword);
    const health = (await (await fetch(`${server.http}/api/health`)).json()) as Health;
    expect(health.broker).toEqual({ state: 'ok', reason: null });
  });

  it('may set alarm topics and look at them, and empties those of an earlier life', async () => {
    await server.stop();
    const old = await place.house();
    const topic = 'lineside/harbour-mall/rtu-01/alarm/leakage';
    const heard = heardBy(old);
    await old.subscribeAsync(topic, { qos: 1 });
    await old.publishAsync(topic, '{"id":"old"}', { qos: 1, retain: true });
    server = await startServerProcess(place, env);
    await eventually(
      async () => heard.at(-1),
      (last) => last === `${topic} `,
      WITHIN,
    );
    expect(server.stderr()).not.toContain('does not give');
  });

  it('plays simulated nodes once the broker was told of their sign-ins', async () => {
    const fleet = ['--fleet', place.fleetFile, '--data', place.data];
    const how = ['--mqtt', place.mosquitto.url, '--days', '1', '--no-live'];
    const simulate = spawn(process.execPath, [COMMAND, 'simulate', ...fleet, ...how]);
    let words = '';
    simulate.stderr.setEncoding('utf8').on('data', (text: string) => {
      words += text;
    });
    const status = new Promise((resolve) => simulate.once('exit', resolve));
    await eventually(
      async () => words,
      (text) => text.includes('write its files anew'),
      WITHIN,
    );
    await place.filesAndReload();
    expect(await status).toBe(0);
    expect(words).toContain('history of 3 units sent');
  });

  it('does not start with a wrong password, and says which setting it is about', async () => {
    await server.stop();
    const wrong = { ...env, LINESIDE_MQTT_PASSWORD: 'guessed', LINESIDE_HTTP_PORT: '0' };
    await expect(startServerProcess(place, wrong)).rejects.toThrow(
      /ended with status 3[\s\S]*outside broker at mqtt:\/\/127.0.0.1:\d+: .*not authorised/,
    );
    server = await startServerProcess(place, env);
  });
});
