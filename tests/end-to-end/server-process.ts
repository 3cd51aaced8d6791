/** The real command as a child process: what an installation runs, with real sockets and files. */
import { type ChildProcess, execFile, spawn } from 'node:child_process';
import { mkdtempSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';

const ROOT = join(import.meta.dirname, '..', '..');
/** The built command. */
export const COMMAND: string = join(ROOT, 'services', 'lineside', 'bin', 'lineside.mjs');

/** Starting includes judging what a killed server left over. */
const LONGEST_START_MS = 30_000;

const SMALL_FLEET = `
sites:
  - id: harbour-mall
    name: Harbour Mall
    timezone: America/Halifax
    latitude: 44.65
    longitude: -63.57
    units:
      - id: rtu-01
        name: RTU-1, food court
        supply: { volts: 600, hertz: 60, grounding: solid-wye, mca: 38, mop: 50 }
        fuses: { class: RK5, amps: 50 }
        contactors:
          - { name: C1, load: compressor 1, poles: 3, fla: 18 }
          - { name: C2, load: fans, poles: 3, fla: 6 }
        access: Ladder C, hatch key at security, upper roof
      - id: rtu-02
        supply: { volts: 480 }
  - id: hilltop-school
    name: Hilltop School
    units:
      - { id: rtu-11, supply: { volts: 208 } }
`;

/**
 * A temporary data folder with a fleet file beside it; `dispose` removes both. They are moved away
 * first: a process that still ends would write into them while they are removed.
 */
export function temporaryPlace(fleet: string = SMALL_FLEET): {
  readonly data: string;
  readonly fleetFile: string;
  dispose(): void;
} {
  const folder = mkdtempSync(join(tmpdir(), 'lineside-e2e-'));
  const fleetFile = join(folder, 'fleet.yaml');
  writeFileSync(fleetFile, fleet);
  return {
    data: join(folder, 'data'),
    fleetFile,
    dispose: () => {
      const away = `${folder}-away`;
      renameSync(folder, away);
      rmSync(away, { recursive: true, maxRetries: 10, retryDelay: 50 });
    },
  };
}

export interface CommandResult {
  readonly status: number;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs `lineside ARGS` to its end, in `folder` or here. */
export async function lineside(
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
  folder?: string,
): Promise<CommandResult> {
  try {
    const { stdout, stderr } = await promisify(execFile)(process.execPath, [COMMAND, ...args], {
      env: { ...process.env, ...env },
      timeout: LONGEST_START_MS,
      ...(folder === undefined ? {} : { cwd: folder }),
    });
    return { status: 0, stdout, stderr };
  } catch (error) {
    const { code, stdout, stderr } = error as { code: number; stdout: string; stderr: string };
    return { status: code, stdout, stderr };
  }
}

/** A `lineside serve` that was ready. */
export interface ServingProcess {
  readonly process: ChildProcess;
  /** Everything on standard output so far. */
  stdout(): string;
  stderr(): string;
  /** SIGTERM; gives the exit status. */
  stop(): Promise<number | null>;
  /** SIGKILL. */
  kill(): Promise<void>;
}

export interface ServerProcess extends ServingProcess {
  readonly http: string;
  readonly mqtt: string;
}

/** Starts `lineside serve` on free ports of loopback and waits for its ready line. */
export async function startServerProcess(
  place: { readonly data: string; readonly fleetFile: string },
  env: Readonly<Record<string, string>> = {},
): Promise<ServerProcess> {
  const args = ['--fleet', place.fleetFile, '--data', place.data];
  const { process, ready } = await serve(args, { LINESIDE_MQTT_PORT: '0', ...env }, READY);
  return { ...process, http: ready[1] ?? '', mqtt: ready[2] ?? '' };
}

const READY = /^ready http=(\S+) mqtt=(\S+)\n/;

/** Starts `lineside serve ARGS` and waits until its standard output matches. */
export async function serve(
  args: readonly string[],
  env: Readonly<Record<string, string>>,
  pattern: RegExp,
): Promise<{ readonly process: ServingProcess; readonly ready: RegExpExecArray }> {
  const child = spawn(process.execPath, [COMMAND, 'serve', ...args], {
    env: { ...process.env, LINESIDE_HTTP_PORT: '0', LINESIDE_LOG_LEVEL: 'info', ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let stdout = '';
  let stderr = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    stdout += text;
  });
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    stderr += text;
  });
  const ended = new Promise<number | null>((resolve) => {
    child.on('exit', (status) => resolve(status));
  });
  const ready = await readyLine(child, ended, pattern, () => ({ stdout, stderr }));
  const serving: ServingProcess = {
    process: child,
    stdout: () => stdout,
    stderr: () => stderr,
    stop: () => {
      child.kill('SIGTERM');
      return ended;
    },
    kill: async () => {
      child.kill('SIGKILL');
      await ended;
    },
  };
  return { process: serving, ready };
}

async function readyLine(
  child: ChildProcess,
  ended: Promise<number | null>,
  pattern: RegExp,
  output: () => { stdout: string; stderr: string },
): Promise<RegExpExecArray> {
  const ready = new Promise<RegExpExecArray>((resolve) => {
    child.stdout?.on('data', () => {
      const match = pattern.exec(output().stdout);
      if (match !== null) resolve(match);
    });
  });
  const early = ended.then((status) => {
    throw new Error(`serve ended with status ${status}:\n${output().stderr}`);
  });
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => {
      child.kill('SIGKILL');
      reject(new Error(`serve was not ready in time:\n${output().stderr}`));
    }, LONGEST_START_MS);
  });
  try {
    return await Promise.race([ready, early, late]);
  } finally {
    clearTimeout(timer);
  }
}
