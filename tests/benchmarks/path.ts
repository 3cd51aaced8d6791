/** What storing and judging cost beside the bare broker, in one run on one machine. */
import { type ChildProcess, spawn } from 'node:child_process';
import { join } from 'node:path';
import { secretOf, UNIT_NAMES, unitUsername } from './bench-fleet.ts';
import type { BrokerVariant } from './broker-process.ts';
import { type LoadOptions, PACK_SHAPES } from './load-options.ts';

const ROUNDS = 3;
const PACKS_PER_NODE = { live: 200, backlog: 20 };
/**
 * Packs that a node has under way. With ten the fleet waits for the commit more than the server
 * works, and the ratio measures that pause (0.44 for `store`); with twenty the server is busy.
 */
const WINDOW = { live: 20, backlog: 2 };
const DAY_SECONDS = 86_400;

interface Measured {
  readonly packsPerSecond: number;
}

/** `npm run bench -- path` */
export async function benchPath(): Promise<void> {
  const variants: readonly BrokerVariant[] = ['count', 'store', 'all'];
  const best = { count: 0, store: 0, all: 0 };
  for (let round = 0; round < ROUNDS; round++) {
    for (const variant of variants) {
      const { packsPerSecond } = await run(variant, 'live');
      best[variant] = Math.max(best[variant], packsPerSecond);
    }
  }
  console.log(
    `\n${UNIT_NAMES.length} nodes, one reading of six channels a pack, ${WINDOW.live} packs under way each, best of ${ROUNDS}`,
  );
  for (const variant of variants) {
    const ratio = (best[variant] / best.count).toFixed(2);
    console.log(
      `  ${variant.padEnd(6)} ${best[variant].toFixed(0).padStart(8)} packs/s   ${ratio}`,
    );
  }
  console.log('  goals: store 0.50, all 0.30 of count');

  const backlog = await run('all', 'backlog');
  const values = backlog.packsPerSecond * PACK_SHAPES.backlog.values;
  console.log(`\nbacklog packs of ${PACK_SHAPES.backlog.readings} readings, stored and judged`);
  console.log(`  ${values.toFixed(0)} channel values/s (goal 150000)`);
}

async function run(variant: BrokerVariant, shape: keyof typeof PACK_SHAPES): Promise<Measured> {
  const broker = start('broker-process.ts', variant);
  try {
    const port = Number(await firstLine(broker));
    const options: LoadOptions = {
      port,
      nodes: UNIT_NAMES.map(({ site, unit }) => {
        const username = unitUsername(site, unit);
        return {
          username,
          password: secretOf(username),
          topic: `lineside/${site}/${unit}/telemetry`,
        };
      }),
      shape,
      packsPerNode: PACKS_PER_NODE[shape],
      window: WINDOW[shape],
      startSeconds: Math.floor(Date.now() / 1000) - 30 * DAY_SECONDS,
    };
    const load = start('load-process.ts', JSON.stringify(options));
    const { packs, seconds } = JSON.parse(await firstLine(load)) as {
      packs: number;
      seconds: number;
    };
    return { packsPerSecond: packs / seconds };
  } finally {
    const ended = new Promise((resolve) => broker.once('exit', resolve));
    broker.kill('SIGTERM');
    await ended;
  }
}

/** tsx without the `source` condition: our packages run as built. */
function start(file: string, argument: string): ChildProcess {
  return spawn(process.execPath, ['--import', 'tsx', join(import.meta.dirname, file), argument], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
}

function firstLine(child: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let text = '';
    child.stdout?.setEncoding('utf8').on('data', (chunk: string) => {
      text += chunk;
      if (text.includes('\n')) resolve(text.slice(0, text.indexOf('\n')));
    });
    child.once('exit', (status) => reject(new Error(`ended with status ${status}`)));
  });
}
