/** What the fault tests rely on: that each fault looks as it should from outside. */
import { readFileSync } from 'node:fs';
import { connect, type Socket } from 'node:net';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { eventually } from '../end-to-end/eventually.ts';
import { describeOnEngine } from './on-engine.ts';
import type { ServerContainer } from './server-container.ts';
import { startInfluxContainer, startMosquittoContainer } from './servers.ts';

/** Long enough to tell an answer that does not come from one that is slow. */
const SILENCE_MS = 1_000;

describeOnEngine('servers in containers', () => {
  let influx: ServerContainer;
  let mosquitto: ServerContainer;
  beforeAll(async () => {
    [influx, mosquitto] = await Promise.all([startInfluxContainer(), startMosquittoContainer()]);
  });
  afterAll(async () => {
    await Promise.all([influx.dispose(), mosquitto.dispose()]);
  });

  const say = async (where: string, method: 'GET' | 'POST', query: Record<string, string>) => {
    const url = `http://${where}/query?${new URLSearchParams(query)}`;
    const answer = await fetch(url, { method, signal: AbortSignal.timeout(SILENCE_MS) });
    return answer.text();
  };
  const databases = (where: string) => say(where, 'GET', { q: 'SHOW DATABASES' });

  it('keep their files and their address over a stop and a kill', async () => {
    await say(influx.address(), 'POST', { q: 'CREATE DATABASE kept' });
    await influx.stop();
    await expect(databases(influx.address())).rejects.toThrow();
    await influx.start();
    expect(await databases(influx.address())).toContain('kept');
    await influx.kill();
    await expect(databases(influx.address())).rejects.toThrow();
    await influx.start();
    expect(await databases(influx.address())).toContain('kept');
  });

  it('listen on loopback alone', () => {
    const hex = Number(influx.address().split(':')[1]).toString(16).toUpperCase().padStart(4, '0');
    const listening = ['tcp', 'tcp6']
      .flatMap((table) => readFileSync(`/proc/net/${table}`, 'utf8').split('\n'))
      .map((line) => line.trim().split(/\s+/))
      .filter(([, local, , state]) => local?.endsWith(`:${hex}`) === true && state === LISTENS)
      .map(([, local]) => local?.split(':')[0]);
    expect(listening).toEqual([LOOPBACK]);
  });

  it('take connections and do not answer while paused', async () => {
    await influx.pause();
    await expect(databases(influx.address())).rejects.toThrow('timeout');
    await influx.resume();
    expect(await databases(influx.address())).toContain('kept');
  });

  it('are out of reach while cut off, and connections outlast it', async () => {
    const socket = await connected(mosquitto.inNetwork());
    const events: string[] = [];
    for (const event of ['end', 'close', 'error', 'data']) {
      socket.on(event, () => events.push(event));
    }
    await mosquitto.cut();
    socket.write(CONNECT);
    await expect(connected(mosquitto.inNetwork())).rejects.toThrow();
    expect(events).toEqual([]);
    await mosquitto.mend();
    // What was sent into the void arrives when the kernel repeats it.
    await eventually(
      async () => events,
      ([first]) => first === 'data',
      { withinMs: 30_000 },
    );
    socket.destroy();
  });
});

/** 127.0.0.1, and the state, as Linux writes them in /proc/net/tcp. */
const LOOPBACK = '0100007F';
const LISTENS = '0A';

/** A clean session of MQTT 3.1.1 for client `a`. */
const CONNECT = Buffer.from('100d00044d5154540402003c000161', 'hex');

function connected(where: string): Promise<Socket> {
  const [host, port] = where.split(':');
  return new Promise((resolve, reject) => {
    const socket = connect({ host, port: Number(port), timeout: SILENCE_MS });
    socket.once('connect', () => {
      socket.setTimeout(0);
      resolve(socket);
    });
    socket.once('error', reject);
    socket.once('timeout', () => {
      socket.destroy();
      reject(new Error('timeout'));
    });
  });
}
