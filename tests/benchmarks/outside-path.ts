/** What a message costs through an outside broker, beside a bare subscriber and a bare writer. */
import { type ChildProcess, spawn } from 'node:child_process';
import { join } from 'node:path';
import { HAS_INFLUXD, startInfluxServer } from '../contracts/influx-server.ts';
import { HAS_MOSQUITTO, startMosquittoServer } from '../contracts/mosquitto-server.ts';
import { UNIT_NAMES } from './bench-fleet.ts';
import type { LoadOptions } from './load-options.ts';
import type { OutsideOptions } from './outside-process.ts';

const ROUNDS = 3;
/** Ten seconds of work: in a shorter run the compiling of the first seconds decides. */
const PACKS_PER_NODE = 800;
const WINDOW = 20;
const DAY_SECONDS = 86_400;

type Variant = OutsideOptions['variant'];

/** `npm run bench -- outside-path` */
export async function benchOutsidePath(): Promise<void> {
  if (!HAS_MOSQUITTO) throw new Error("this benchmark needs Debian's package mosquitto");
  const stores = HAS_INFLUXD ? (['sqlite', 'influx'] as const) : (['sqlite'] as const);
  const influx = HAS_INFLUXD ? await startInfluxServer() : null;
  try {
    const ratios = new Map<string, number[]>(stores.map((store) => [store, []]));
    for (let round = 1; round <= ROUNDS; round++) {
      const measure = (variant: Variant): Promise<Measured> =>
        run(variant, influx?.url ?? '', `${variant}-${round}`.replaceAll('-', '_'));
      const subscriber = await measure('subscriber');
      for (const store of stores) {
        const writer = await measure(`writer-${store}`);
        const ours = await measure(store);
        const ratio = ours.perSecond / Math.min(subscriber.perSecond, writer.perSecond);
        ratios.get(store)?.push(ratio);
        console.log(
          `round ${round}, ${store}: bare subscriber ${words(subscriber)}, bare writer ` +
            `${words(writer)}, ours ${words(ours)}: ${ratio.toFixed(2)} of the slower`,
        );
      }
    }
    for (const [store, all] of ratios) {
      const median = all.toSorted((one, other) => one - other)[Math.floor(all.length / 2)];
      console.log(`${store}: ${median?.toFixed(2)} of the slower, median of ${ROUNDS}, goal 0.50`);
    }
  } finally {
    await influx?.stop();
  }
}

interface Measured {
  readonly perSecond: number;
  /** Processor time of the process, all threads, for each pack. */
  readonly cpuMicroseconds: number;
}

function words({ perSecond, cpuMicroseconds }: Measured): string {
  return `${(perSecond / 1000).toFixed(1)}k/s (${cpuMicroseconds.toFixed(0)} us of CPU each)`;
}

/** Packs a second, from the first that came to the last that was dealt with. */
async function run(variant: Variant, influxUrl: string, bucket: string): Promise<Measured> {
  const broker = await startMosquittoServer({ lines: () => ['max_inflight_messages 1000'] });
  try {
    const packs = PACKS_PER_NODE * UNIT_NAMES.length;
    const startSeconds = Math.floor(Date.now() / 1000) - 30 * DAY_SECONDS;
    const options = { variant, mqttPort: broker.port, influxUrl, bucket, packs, startSeconds };
    const measured = start('outside-process.ts', options satisfies OutsideOptions);
    await measured.line('ready');
    if (!variant.startsWith('writer-')) start('load-process.ts', load(broker.port, startSeconds));
    const { seconds, cpuMicroseconds } = JSON.parse(await measured.line('{')) as {
      seconds: number;
      cpuMicroseconds: number;
    };
    await measured.ended;
    return { perSecond: packs / seconds, cpuMicroseconds };
  } finally {
    await broker.stop();
  }
}

function load(port: number, startSeconds: number): LoadOptions {
  return {
    port,
    nodes: UNIT_NAMES.map(({ site, unit }) => ({
      username: `${site}/${unit}`,
      password: '',
      topic: `lineside/${site}/${unit}/telemetry`,
    })),
    shape: 'live',
    packsPerNode: PACKS_PER_NODE,
    window: WINDOW,
    startSeconds,
  };
}

interface Started {
  /** The next line that begins so. */
  line(begin: string): Promise<string>;
  readonly ended: Promise<unknown>;
}

function start(file: string, options: unknown): Started {
  const child: ChildProcess = spawn(
    process.execPath,
    ['--import', 'tsx', join(import.meta.dirname, file), JSON.stringify(options)],
    { stdio: ['ignore', 'pipe', 'inherit'] },
  );
  let text = '';
  child.stdout?.setEncoding('utf8').on('data', (chunk: string) => {
    text += chunk;
    child.emit('text');
  });
  const ended = new Promise((resolve) => child.once('exit', resolve));
  const line = (begin: string): Promise<string> =>
    new Promise((resolve, reject) => {
      const look = (): void => {
        const found = text
          .split('\n')
          .slice(0, -1)
          .find((one) => one.startsWith(begin));
        if (found !== undefined) resolve(found);
      };
      child.on('text', look);
      child.once('exit', (status) => reject(new Error(`${file} ended with status ${status}`)));
      look();
    });
  return { line, ended };
}
