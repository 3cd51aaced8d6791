/** InfluxDB goes away in every way it can while a fleet goes on sending. */
import { setTimeout as wait } from 'node:timers/promises';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { eventually } from '../end-to-end/eventually.ts';
import { token } from '../end-to-end/installation.ts';
import {
  type ServerProcess,
  startServerProcess,
  temporaryPlace,
} from '../end-to-end/server-process.ts';
import { MemoryWatch } from '../faults/memory-watch.ts';
import { nodeSignIns } from '../faults/paged-place.ts';
import { SteadyLoad } from '../faults/steady-load.ts';
import { describeOnEngine } from './on-engine.ts';
import type { ServerContainer } from './server-container.ts';
import { startInfluxContainer } from './servers.ts';

const UNITS = 60;
const EVERY_MS = 200;
/** Shorter than an outage, so that nodes give up, connect again and send again. */
const PATIENCE_MS = 3_000;
/** What was stored before the outage may still be on its way to the nodes. */
const UNDER_WAY_MS = 500;
const SILENCE_MS = 1_000;
/** A hanging write is given up after 8 s. */
const DOWN_WITHIN_MS = 30_000;
const WELL_WITHIN_MS = 60_000;
const MOST_GROWTH_MIB = 100;

const SITE = `
sites:
  - id: quay
    units:
${Array.from({ length: UNITS }, (_, index) => `      - { id: u${index}, supply: { volts: 600 } }`).join('\n')}
`;

interface Health {
  readonly state: string;
  readonly telemetry: { readonly state: string; readonly reason: string | null };
  readonly pending: number;
}

describeOnEngine('a fleet that sends 300 messages a second to InfluxDB', () => {
  const place = temporaryPlace(SITE);
  let influx: ServerContainer;
  let server: ServerProcess;
  let load: SteadyLoad;
  let memory: MemoryWatch;
  let usualMib = 0;

  beforeAll(async () => {
    influx = await startInfluxContainer();
    const units = Array.from({ length: UNITS }, (_, index) => ({
      site: 'quay',
      unit: `u${index}`,
    }));
    const nodes = await nodeSignIns(place.data, units);
    server = await startServerProcess(place, {
      LINESIDE_INFLUX_URL: `http://${influx.inNetwork}`,
      LINESIDE_LOG_LEVEL: 'warn',
    });
    memory = new MemoryWatch(server.process.pid!);
    load = new SteadyLoad({
      nodes,
      broker: new URL(server.mqtt).host,
      everyMs: EVERY_MS,
      patienceMs: PATIENCE_MS,
    });
    await eventually(
      async () => load.acknowledged,
      (count) => count > 10 * UNITS,
    );
    usualMib = memory.take();
  });
  afterAll(async () => {
    load?.end();
    memory?.end();
    await server?.kill();
    await influx?.dispose();
    place.dispose();
  });

  const health = async () => (await (await fetch(`${server.http}/api/health`)).json()) as Health;

  it.each<[string, (it: ServerContainer) => Promise<void>, (it: ServerContainer) => Promise<void>]>(
    [
      ['stopped and started', (it) => it.stop(), (it) => it.start()],
      ['killed and started', (it) => it.kill(), (it) => it.start()],
      ['paused and resumed', (it) => it.pause(), (it) => it.resume()],
      ['cut off and connected again', (it) => it.cut(), (it) => it.mend()],
    ],
  )('waits and says so while it is %s, and catches up', async (_name, begin, end) => {
    await begin(influx);
    const down = await eventually(health, ({ state }) => state === 'down', {
      withinMs: DOWN_WITHIN_MS,
    });
    expect(down.telemetry.reason).toContain('InfluxDB');
    await wait(UNDER_WAY_MS);
    const { acknowledged } = load;
    await wait(SILENCE_MS);
    expect(load.acknowledged).toBe(acknowledged);
    await end(influx);
    await eventually(
      async () => load.backlog,
      (count) => count < 2 * UNITS,
      {
        withinMs: WELL_WITHIN_MS,
      },
    );
    expect(await health()).toMatchObject({ state: 'ok' });
  });

  it('has lost nothing, doubled nothing and used no more memory to speak of', async () => {
    load.finish();
    await eventually(
      async () => load.backlog,
      (count) => count === 0,
    );
    await eventually(health, ({ pending }) => pending === 0, { withinMs: WELL_WITHIN_MS });
    expect(memory.take()).toBeLessThan(usualMib + MOST_GROWTH_MIB);
    const office = await token(place.data, ['--role', 'office']);
    const { made, faults } = await load.check(server.http, office);
    expect(faults).toEqual([]);
    expect(made).toBeGreaterThan(1_000);
    expect(load.acknowledged).toBe(made);
    expect(load.resent).toBeGreaterThan(UNITS);
  });
});
