/** Nodes that send steadily, a broker, Lineside and InfluxDB: whatever can go away, can. */
import { setTimeout as wait } from 'node:timers/promises';
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
import { HOUSE_PORT, mosquittoFilesFor, NODE_PORT } from './mosquitto-files.ts';
import type { ServerContainer } from './server-container.ts';
import { startInfluxContainer, startMosquittoContainer } from './servers.ts';

const SITE = 'quay';
const ALL_WITHIN_MS = 120_000;
const ANSWER_WITHIN_MS = 30_000;
/** When nothing new is stored for so long, nothing more comes. */
const QUIET_MS = 5_000;

export interface OutageWorldOptions {
  readonly units: number;
  /** Time between two readings of one unit, ms. */
  readonly everyMs: number;
  /** After which a node that hears nothing connects again. */
  readonly patienceMs: number;
  /** Mosquitto in a container, or the broker within Lineside. */
  readonly broker: 'outside' | 'embedded';
}

export interface WorldHealth {
  readonly state: 'ok' | 'degraded' | 'down';
  readonly broker: { readonly state: string; readonly reason: string | null };
  readonly telemetry: { readonly state: string; readonly reason: string | null };
  /** Readings that wait to be judged. */
  readonly pending: number;
}

export class OutageWorld {
  readonly influx: ServerContainer;
  /** Null where the broker is within Lineside. */
  readonly mosquitto: ServerContainer | null;
  readonly server: ServerProcess;
  readonly load: SteadyLoad;
  /** Of Lineside. */
  readonly memory: MemoryWatch;
  readonly office: string;
  readonly #place: ReturnType<typeof temporaryPlace>;

  private constructor(
    parts: Pick<OutageWorld, 'influx' | 'mosquitto' | 'server' | 'load' | 'office'>,
    place: ReturnType<typeof temporaryPlace>,
  ) {
    this.influx = parts.influx;
    this.mosquitto = parts.mosquitto;
    this.server = parts.server;
    this.load = parts.load;
    this.office = parts.office;
    this.memory = new MemoryWatch(parts.server.process.pid ?? 0);
    this.#place = place;
  }

  static async start(options: OutageWorldOptions): Promise<OutageWorld> {
    const { broker, everyMs, patienceMs } = options;
    const units = Array.from({ length: options.units }, (_, index) => `u${index}`);
    const place = temporaryPlace(fleetOf(units));
    const nodes = await nodeSignIns(
      place.data,
      units.map((unit) => ({ site: SITE, unit })),
    );
    const influx = await startInfluxContainer();
    const files =
      broker === 'outside' ? await mosquittoFilesFor(place.data, place.fleetFile) : null;
    const mosquitto = files === null ? null : await startMosquittoContainer(files);
    const server = await startServerProcess(place, {
      LINESIDE_INFLUX_URL: `http://${influx.inNetwork()}`,
      LINESIDE_LOG_LEVEL: 'warn',
      ...(mosquitto === null || files === null
        ? {}
        : {
            LINESIDE_MQTT_URL: `mqtt://lineside@${mosquitto.inNetwork(HOUSE_PORT)}`,
            LINESIDE_MQTT_PASSWORD: files.ownPassword,
          }),
    });
    const office = await token(place.data, ['--role', 'office']);
    const address = mosquitto?.inNetwork(NODE_PORT) ?? new URL(server.mqtt).host;
    const load = new SteadyLoad({ nodes, broker: address, everyMs, patienceMs });
    return new OutageWorld({ influx, mosquitto, server, load, office }, place);
  }

  async health(): Promise<WorldHealth> {
    return (await (await fetch(`${this.server.http}/api/health`, inTime())).json()) as WorldHealth;
  }

  /** Readings that InfluxDB has. */
  async stored(): Promise<number> {
    const q = 'SELECT count("leak") FROM "reading"';
    const query = new URLSearchParams({ db: 'lineside', q });
    const answer = await fetch(`http://${this.influx.address()}/query?${query}`, inTime());
    const { results } = (await answer.json()) as {
      results: [{ series?: [{ values: [[number, number]] }] }];
    };
    return results[0].series?.[0].values[0][1] ?? 0;
  }

  /** Makes no more readings and waits until all is stored and judged, or no more comes. */
  async settle(withinMs: number = ALL_WITHIN_MS): Promise<void> {
    const { load } = this;
    load.finish();
    const none = (count: number): boolean => count === 0;
    await eventually(async () => load.backlog, none, { withinMs });
    for (let count = -1, next = await this.stored(); next !== load.made && next !== count; ) {
      await wait(QUIET_MS);
      [count, next] = [next, await this.stored()];
    }
    await eventually(async () => (await this.health()).pending, none, { withinMs });
  }

  async dispose(): Promise<void> {
    this.load.end();
    this.memory.end();
    await this.server.kill();
    await this.influx.dispose();
    await this.mosquitto?.dispose();
    this.#place.dispose();
  }
}

/** Asked again and again; one answer that does not come must not hold that up. */
function inTime(): { readonly signal: AbortSignal } {
  return { signal: AbortSignal.timeout(ANSWER_WITHIN_MS) };
}

function fleetOf(units: readonly string[]): string {
  const lines = units.map((id) => `      - { id: ${id}, supply: { volts: 480 } }\n`);
  return `sites:\n  - id: ${SITE}\n    units:\n${lines.join('')}`;
}
