/** A long outage of broker or database under load: what is lost, how much memory, how fast back. */
import { setTimeout as wait } from 'node:timers/promises';
import { leaveEngine, startEngine, useEngine } from '../containers/engine.ts';
import { OutageWorld, type OutageWorldOptions } from '../containers/outage-world.ts';
import { eventually } from '../end-to-end/eventually.ts';
import { MemoryWatch } from '../faults/memory-watch.ts';
import type { BenchOptions } from './bench-options.ts';

const UNITS = 500;
const DEFAULT_SECONDS = 600;
const DEFAULT_RATE = 1_000;
/** Nodes give up on a broker that does not answer, as real ones do. */
const PATIENCE_MS = 30_000;
const WARM_UP_MS = 20_000;
/** Of readings that are on their way at any time, seconds of the live rate. */
const LIVE_LAG_SECONDS = 2;
const LOOK_EVERY_MS = 500;
const LONGEST_MS = 3_600_000;
const GOAL = 3;

interface Outage {
  readonly broker: OutageWorldOptions['broker'];
  begin(world: OutageWorld): Promise<void> | undefined;
  end(world: OutageWorld): Promise<void> | undefined;
}

const OUTAGES: Readonly<Record<string, Outage>> = {
  'database-pause': {
    broker: 'embedded',
    begin: ({ influx }) => influx.pause(),
    end: ({ influx }) => influx.resume(),
  },
  'database-stop': {
    broker: 'embedded',
    begin: ({ influx }) => influx.stop(),
    end: ({ influx }) => influx.start(),
  },
  'database-pause-outside': {
    broker: 'outside',
    begin: ({ influx }) => influx.pause(),
    end: ({ influx }) => influx.resume(),
  },
  'database-stop-outside': {
    broker: 'outside',
    begin: ({ influx }) => influx.stop(),
    end: ({ influx }) => influx.start(),
  },
  'broker-pause': {
    broker: 'outside',
    begin: ({ mosquitto }) => mosquitto?.pause(),
    end: ({ mosquitto }) => mosquitto?.resume(),
  },
  'broker-stop': {
    broker: 'outside',
    begin: ({ mosquitto }) => mosquitto?.stop(),
    end: ({ mosquitto }) => mosquitto?.start(),
  },
};

/** `npm run bench -- outages`; `--seconds`, `--rate` of messages a second, `--outage NAME`. */
export async function benchOutages({ seconds, rate, outage }: BenchOptions): Promise<void> {
  const names = outage === null ? Object.keys(OUTAGES) : [outage];
  const engine = startEngine();
  if ('reason' in engine) throw new Error(engine.reason);
  useEngine(engine);
  try {
    for (const name of names) await bench(name, seconds ?? DEFAULT_SECONDS, rate ?? DEFAULT_RATE);
  } finally {
    leaveEngine();
  }
}

async function bench(name: string, seconds: number, rate: number): Promise<void> {
  const outage = OUTAGES[name];
  if (outage === undefined) {
    throw new Error(`no outage '${name}'; there are: ${Object.keys(OUTAGES).join(', ')}`);
  }
  const everyMs = Math.round((UNITS * 1_000) / rate);
  const perSecond = (UNITS * 1_000) / everyMs;
  console.log(`\n${name}: out for ${seconds} s at ${perSecond.toFixed(0)} messages a second`);
  const { broker } = outage;
  const world = await OutageWorld.start({ units: UNITS, everyMs, patienceMs: PATIENCE_MS, broker });
  const ofBroker = world.mosquitto === null ? null : new MemoryWatch(await world.mosquitto.pid());
  try {
    await play(world, outage, { seconds, perSecond, ofBroker });
    await account(world);
  } finally {
    ofBroker?.end();
    await world.dispose();
  }
}

interface Measuring {
  readonly seconds: number;
  readonly perSecond: number;
  /** Null where the broker is within Lineside. */
  readonly ofBroker: MemoryWatch | null;
}

async function play(world: OutageWorld, outage: Outage, measuring: Measuring): Promise<void> {
  const { load } = world;
  const { seconds, perSecond, ofBroker } = measuring;
  const memory = (): string => {
    const broker = ofBroker === null ? '' : `, Mosquitto ${ofBroker.take()} MiB`;
    return `Lineside ${world.memory.take()} MiB at most${broker}`;
  };
  await wait(WARM_UP_MS);
  const storedBefore = await world.stored();
  console.log(`  before: ${memory()}; ${load.made - storedBefore} readings under way`);
  await outage.begin(world);
  await wait(seconds * 1_000);
  const behind = load.made - storedBefore;
  console.log(`  out: ${memory()}; ${behind} readings wait, ${load.backlog} of them with nodes`);
  const startedMs = performance.now();
  await outage.end(world);
  if (world.mosquitto !== null) ofBroker?.follow(await world.mosquitto.pid());
  const first = await eventually(
    () => world.stored(),
    (count) => count > storedBefore + LIVE_LAG_SECONDS * perSecond,
    { withinMs: LONGEST_MS, everyMs: LOOK_EVERY_MS },
  );
  const firstMs = performance.now();
  const last = await eventually(
    () => world.stored(),
    (count) => load.made - count <= LIVE_LAG_SECONDS * perSecond,
    { withinMs: LONGEST_MS, everyMs: LOOK_EVERY_MS },
  );
  const lastMs = performance.now();
  const rate = ((last - first) / (lastMs - firstMs)) * 1_000;
  console.log(
    `  back: ${memory()}; readings are stored again after ${inSeconds(firstMs - startedMs)}, ` +
      `all after ${inSeconds(lastMs - startedMs)}; ${load.resent} were sent again`,
  );
  console.log(
    `  caught up at ${rate.toFixed(0)} readings a second, ` +
      `${(rate / perSecond).toFixed(1)} times the live rate (goal ${GOAL})`,
  );
}

/** What was sent, beside what is stored once everything is delivered. */
async function account(world: OutageWorld): Promise<void> {
  const startedMs = performance.now();
  await world.settle(LONGEST_MS);
  const settledMs = performance.now() - startedMs;
  const { made, lostAtMs, faults } = await world.load.check(world.server.http, world.office);
  console.log(
    `  ${made} readings sent, ${world.load.acknowledged} acknowledged, ${lostAtMs.length} lost, ` +
      `${faults.length} units with strange or doubled ones; all judged ${inSeconds(settledMs)} later`,
  );
  for (const fault of faults.slice(0, 5)) console.log(`    ${fault}`);
}

function inSeconds(ms: number): string {
  return `${(ms / 1_000).toFixed(1)} s`;
}
