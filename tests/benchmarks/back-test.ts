/** How fast files are judged, beside a loop that only splits lines and calls JSON.parse. */
import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { createWriteStream, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { COMMAND } from '../end-to-end/server-process.ts';
import type { BenchOptions } from './bench-options.ts';

const USUAL_LINES = 2_000_000;
const UNITS = 40;
const MINUTE_MS = 60_000;
const START_MS = Date.UTC(2026, 0, 5);
const WRITE_CHARACTERS = 1_048_576;
const BYTES_PER_KILOBYTE = 1024;
const MICROSECONDS = 1e6;
/** A module that prints what its process took when it ends. */
const TELL_USAGE =
  'data:text/javascript,' +
  'process.on("exit",()=>console.log(JSON.stringify(process.resourceUsage())))';
/** What any program over such files must do at least, unless it does without JSON.parse. */
const PARSE_ONLY = join(import.meta.dirname, 'parse-lines.mjs');
const GOAL_PER_SECOND = 150_000;

/** `npm run bench -- backtest [--lines 10000000]` */
export async function benchBackTest({ lines: asked }: BenchOptions): Promise<void> {
  const lines = asked ?? USUAL_LINES;
  const folder = mkdtempSync(join(tmpdir(), 'lineside-bench-'));
  try {
    const fleet = join(folder, 'fleet.yaml');
    const readings = join(folder, 'readings.ndjson');
    writeFileSync(fleet, fleetText());
    await writeReadings(readings, lines);
    const megabytes = (statSync(readings).size / 1e6).toFixed(0);
    console.log(`\n${lines} readings of nine channels, ${UNITS} units, ${megabytes} MB`);
    const bare = await measure([PARSE_ONLY, readings]);
    print('lines split and parsed', lines, bare);
    const outputs = ['alarms', 'episodes', 'conditions'].flatMap((name) => [
      `--${name}`,
      join(folder, `${name}.ndjson`),
    ]);
    const inputs = ['--fleet', fleet, '--telemetry', readings];
    const judged = await measure([COMMAND, 'backtest', ...inputs, ...outputs]);
    print('back-test, all watches', lines, judged);
    const ratio = (bare.coreSeconds / judged.coreSeconds).toFixed(2);
    console.log(`  ratio ${ratio}; goal ${GOAL_PER_SECOND} readings a core second`);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

interface Measured {
  /** Of the whole process, its start included. */
  readonly seconds: number;
  /** What the process had of a core: on a shared machine this says more. */
  readonly coreSeconds: number;
  /** Highest resident set of the process. */
  readonly peakMegabytes: number;
}

function print(
  title: string,
  lines: number,
  { seconds, coreSeconds, peakMegabytes }: Measured,
): void {
  const perSecond = (lines / seconds).toFixed(0).padStart(8);
  const perCoreSecond = (lines / coreSeconds).toFixed(0).padStart(8);
  const memory = peakMegabytes.toFixed(0).padStart(5);
  console.log(
    `  ${title}  ${perSecond} readings/s, ${perCoreSecond} a core second, peak ${memory} MB`,
  );
}

/** Runs a script in a process of its own, on one core where the system can be asked to. */
async function measure(script: readonly string[]): Promise<Measured> {
  const command = [process.execPath, '--import', TELL_USAGE, ...script];
  const canPin = spawnSync('taskset', ['--version']).error === undefined;
  const [program = '', ...args] = canPin ? ['taskset', '-c', '0', ...command] : command;
  const startedAt = performance.now();
  const child = spawn(program, args, { stdio: ['ignore', 'pipe', 'inherit'] });
  let text = '';
  child.stdout.setEncoding('utf8').on('data', (chunk: string) => {
    text += chunk;
  });
  const [status] = await once(child, 'close');
  if (status !== 0) throw new Error(`${script[0]} ended with status ${status}`);
  const seconds = (performance.now() - startedAt) / 1000;
  const { maxRSS, userCPUTime, systemCPUTime } = JSON.parse(text) as NodeJS.ResourceUsage;
  return {
    seconds,
    coreSeconds: (userCPUTime + systemCPUTime) / MICROSECONDS,
    peakMegabytes: (maxRSS * BYTES_PER_KILOBYTE) / 1e6,
  };
}

async function writeReadings(path: string, lines: number): Promise<void> {
  const file = createWriteStream(path);
  const noise = noiseFrom(1);
  let text = '';
  for (let line = 0; line < lines; line++) {
    text += `${readingLine(line % UNITS, Math.floor(line / UNITS), noise)}\n`;
    if (text.length < WRITE_CHARACTERS) continue;
    if (!file.write(text)) await once(file, 'drain');
    text = '';
  }
  file.end(text);
  await once(file, 'close');
}

function readingLine(unit: number, minute: number, noise: () => number): string {
  const wave = Math.sin(minute / 229 + unit);
  const amps = (): number => rounded(17 + wave + noise() / 2, 2);
  return JSON.stringify({
    site: 'harbour-mall',
    unit: `rtu-${unit}`,
    time: new Date(START_MS + minute * MINUTE_MS).toISOString().replace('.000Z', 'Z'),
    rh: rounded(55 + 10 * wave + noise(), 1),
    t: rounded(12 + 9 * wave + noise(), 1),
    tp: rounded(13 + 9 * wave + noise(), 1),
    leak: rounded(1.2 + noise() / 5, 2),
    leakmax: rounded(1.5 + noise() / 5, 2),
    ia: amps(),
    ib: amps(),
    ic: amps(),
    batt: 3.6,
  });
}

function rounded(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}

/** Numbers from 0 to 1 that are the same in each run: a linear congruential generator. */
function noiseFrom(start: number): () => number {
  let state = start;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
}

function fleetText(): string {
  const units = Array.from(
    { length: UNITS },
    (_, unit) => `      - { id: rtu-${unit}, supply: { volts: 480 } }\n`,
  );
  return `sites:\n  - id: harbour-mall\n    units:\n${units.join('')}`;
}
