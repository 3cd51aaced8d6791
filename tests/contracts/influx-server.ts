import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { freePort } from './free-port.ts';

/** Whether Debian's package `influxdb` is here. */
export const HAS_INFLUXD: boolean = spawnSync('influxd', ['version']).error === undefined;

/** A busy machine takes a few seconds. */
const START_WITHIN_MS = 30_000;
const LOOK_EVERY_MS = 50;

/** A real InfluxDB of generation 1 on a free loopback port, with a folder of its own. */
export interface InfluxServer {
  readonly url: string;
  /** Runs a statement outside of any store. */
  run(statement: string): Promise<void>;
  /** Ends the process at once, as a crash would. */
  kill(): Promise<void>;
  /** Stops it from running on; connections stay open and nothing is answered. */
  pause(): void;
  resume(): void;
  /** Starts it again on the same port and folder. */
  start(): Promise<void>;
  stop(): Promise<void>;
}

export async function startInfluxServer(): Promise<InfluxServer> {
  const folder = await mkdtemp(join(tmpdir(), 'influxd-'));
  const port = await freePort();
  const url = `http://127.0.0.1:${port}`;
  const config = join(folder, 'influxdb.conf');
  await writeFile(config, configuration(folder, port));
  let child: ChildProcess | null = null;
  const end = async (signal: NodeJS.Signals): Promise<void> => {
    const running = child;
    child = null;
    if (running === null || running.exitCode !== null) return;
    const exit = once(running, 'exit');
    running.kill(signal);
    await exit;
  };
  const start = async (): Promise<void> => {
    child = spawn('influxd', ['-config', config], { stdio: 'ignore' });
    await answering(url, child);
  };
  await start();
  return {
    url,
    run: async (statement) => {
      const query = new URLSearchParams({ q: statement });
      const answer = await fetch(`${url}/query?${query}`, { method: 'POST' });
      if (!answer.ok) throw new Error(`${statement}: ${await answer.text()}`);
    },
    kill: () => end('SIGKILL'),
    pause: () => void child?.kill('SIGSTOP'),
    resume: () => void child?.kill('SIGCONT'),
    start,
    stop: async () => {
      await end('SIGTERM');
      await rm(folder, { recursive: true, force: true });
    },
  };
}

async function answering(url: string, child: ChildProcess): Promise<void> {
  const endMs = performance.now() + START_WITHIN_MS;
  while (performance.now() < endMs) {
    if (child.exitCode !== null) throw new Error(`influxd ended with status ${child.exitCode}`);
    const answer = await fetch(`${url}/ping`).catch(() => null);
    if (answer?.ok === true) return;
    await wait(LOOK_EVERY_MS);
  }
  child.kill('SIGKILL');
  throw new Error(`influxd did not answer within ${START_WITHIN_MS} ms`);
}

function configuration(folder: string, port: number): string {
  return `
reporting-disabled = true
bind-address = "127.0.0.1:0"
[meta]
  dir = "${join(folder, 'meta')}"
[data]
  dir = "${join(folder, 'data')}"
  wal-dir = "${join(folder, 'wal')}"
  query-log-enabled = false
[monitor]
  store-enabled = false
[http]
  bind-address = "127.0.0.1:${port}"
  log-enabled = false
[logging]
  level = "error"
`;
}
