import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { freePort } from './free-port.ts';

/** Debian puts it where only root looks. */
const MOSQUITTO_PATH = `${process.env['PATH'] ?? ''}:/usr/sbin`;

/** Whether Debian's package `mosquitto` is here. */
export const HAS_MOSQUITTO: boolean =
  spawnSync('mosquitto', ['-h'], { env: { PATH: MOSQUITTO_PATH } }).error === undefined;

/** A busy machine takes a few seconds. */
const START_WITHIN_MS = 30_000;
const LOOK_EVERY_MS = 20;

/** Of its log, characters: enough to see why it ended. */
const MOST_LOG_CHARACTERS = 1_000_000;

interface MosquittoPlace {
  readonly folder: string;
  readonly port: number;
}

export interface MosquittoOptions {
  /**
   * Lines that come after the listener on loopback, and so may also say what holds for it (TLS).
   * Everybody may connect unless a line says something of `allow_anonymous`.
   */
  readonly lines?: (place: MosquittoPlace) => readonly string[];
  /** A whole configuration of one's own in place of the usual one; it must listen on the port. */
  readonly configuration?: (place: MosquittoPlace) => string;
  /** Files by name that are put into its folder before it starts. */
  readonly files?: Readonly<Record<string, string>>;
}

/** A real Mosquitto on a free loopback port, with a folder of its own. */
export interface MosquittoServer extends MosquittoPlace {
  /** Without user or password; `mqtts:` when the configuration names a certificate. */
  readonly url: string;
  /** What it has logged, all starts together. */
  log(): string;
  /** Puts a file into its folder; `reload` makes it look. */
  write(name: string, text: string): Promise<void>;
  /** Has it read passwords, access rules and certificates again. */
  reload(): void;
  /** Ends the process at once, as a crash would. */
  kill(): Promise<void>;
  /** Stops it from running on; connections stay open and nothing is answered. */
  pause(): void;
  resume(): void;
  /** Starts it again on the same port and folder. */
  start(): Promise<void>;
  /** Ends it in order, so that it saves what it holds; `start` may follow. */
  end(): Promise<void>;
  /** Ends it and removes its folder. */
  stop(): Promise<void>;
}

export async function startMosquittoServer(
  options: MosquittoOptions = {},
): Promise<MosquittoServer> {
  const folder = await mkdtemp(join(tmpdir(), 'mosquitto-'));
  const place = { folder, port: await freePort() };
  const configuration = options.configuration?.(place) ?? usualConfiguration(place, options);
  const write = (name: string, text: string): Promise<void> =>
    writeFile(join(folder, name), text, { mode: 0o600 });
  await write('mosquitto.conf', configuration);
  for (const [name, text] of Object.entries(options.files ?? {})) await write(name, text);
  let child: ChildProcess | null = null;
  let log = '';
  const end = async (signal: NodeJS.Signals): Promise<void> => {
    const running = child;
    child = null;
    if (running === null || running.exitCode !== null || running.signalCode !== null) return;
    const exit = once(running, 'exit');
    running.kill(signal);
    // A paused one would leave an orderly end for later.
    running.kill('SIGCONT');
    await exit;
  };
  const start = async (): Promise<void> => {
    const started = spawn('mosquitto', ['-c', join(folder, 'mosquitto.conf')], {
      stdio: ['ignore', 'ignore', 'pipe'],
      env: { PATH: MOSQUITTO_PATH },
    });
    child = started;
    started.stderr.setEncoding('utf8').on('data', (text: string) => {
      log = (log + text).slice(-MOST_LOG_CHARACTERS);
    });
    await accepting(place.port, started, () => log);
  };
  await start();
  return {
    ...place,
    url: `${/^certfile /m.test(configuration) ? 'mqtts' : 'mqtt'}://127.0.0.1:${place.port}`,
    log: () => log,
    write,
    reload: () => void child?.kill('SIGHUP'),
    kill: () => end('SIGKILL'),
    pause: () => void child?.kill('SIGSTOP'),
    resume: () => void child?.kill('SIGCONT'),
    start,
    end: () => end('SIGTERM'),
    stop: async () => {
      await end('SIGTERM');
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** A password file for these people; passwords are hashed as Mosquitto wants them. */
export function mosquittoPasswords(people: Readonly<Record<string, string>>): string {
  const folder = mkdtempSync(join(tmpdir(), 'passwords-'));
  const file = join(folder, 'passwords');
  writeFileSync(file, '');
  for (const [user, password] of Object.entries(people)) {
    const { status, stderr } = spawnSync('mosquitto_passwd', ['-b', file, user, password]);
    if (status !== 0) throw new Error(`mosquitto_passwd: ${stderr}`);
  }
  const text = readFileSync(file, 'utf8');
  rmSync(folder, { recursive: true });
  return text;
}

/** Once it accepts; what it answers is for those who ask. */
async function accepting(port: number, child: ChildProcess, log: () => string): Promise<void> {
  const endMs = performance.now() + START_WITHIN_MS;
  while (performance.now() < endMs) {
    if (child.exitCode !== null || child.signalCode !== null) {
      throw new Error(`mosquitto ended with status ${child.exitCode}: ${log().slice(-2000)}`);
    }
    if (await accepts(port)) return;
    await wait(LOOK_EVERY_MS);
  }
  child.kill('SIGKILL');
  throw new Error(`mosquitto did not accept within ${START_WITHIN_MS} ms`);
}

function accepts(port: number): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = connect({ port, host: '127.0.0.1' });
    socket.once('connect', () => resolve(true));
    socket.once('error', () => resolve(false));
    socket.once('connect', () => socket.destroy());
  });
}

function usualConfiguration(place: MosquittoPlace, { lines }: MosquittoOptions): string {
  const extra = lines?.(place) ?? [];
  const isSaid = (name: string): boolean => extra.some((line) => line.startsWith(`${name} `));
  return [
    'per_listener_settings false',
    // As root it would otherwise become a user who cannot write into this folder.
    ...(isSaid('user') ? [] : ['user root']),
    'persistence true',
    `persistence_location ${place.folder}/`,
    'log_dest stderr',
    // The default drops what a subscriber that is away has not yet fetched beyond 1,000 messages.
    ...(isSaid('max_queued_messages') ? [] : ['max_queued_messages 1000000']),
    ...(isSaid('allow_anonymous') ? [] : ['allow_anonymous true']),
    `listener ${place.port} 127.0.0.1`,
    ...extra,
    '',
  ].join('\n');
}
