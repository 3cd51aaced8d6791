import type { WorkerOptions } from 'node:worker_threads';

const SOURCE_EXTENSION = '.ts';

/**
 * URL of a worker's entry module that lies beside the module that starts it, for the way in which
 * the program runs: built JavaScript (`dist/*.js`) or TypeScript source (vitest, tsx).
 *
 * @param from `import.meta.url` of the starting module.
 * @param name relative path of the entry without its extension, for example `./writer-entry`.
 */
export function workerEntry(from: string, name: string): URL {
  return new URL(`${name}${isSource(from) ? SOURCE_EXTENSION : '.js'}`, from);
}

/** What `new Worker` is given. */
export interface WorkerStart {
  readonly script: URL;
  readonly options: WorkerOptions;
}

/** `workerData` of every worker that `startWorker` starts. */
export interface WorkerStartData<O> {
  readonly entry: string;
  readonly options: O;
}

/**
 * How a worker starts. This is the one place that knows how TypeScript source runs in a worker:
 * Node 20 cannot strip types, a worker inherits nothing from vitest's module loader, and tsx does
 * nothing in a worker when loaded by `--import`. So source starts at a small JavaScript module
 * that registers tsx and imports the entry, and workspace packages resolve to their source by the
 * `source` condition. Flags of the process (a test runner's, a debugger's) are not inherited.
 */
export function workerStart(entry: URL, options: unknown): WorkerStart {
  const workerData: WorkerStartData<unknown> = { entry: entry.href, options };
  if (!isSource(entry.pathname)) return { script: entry, options: { workerData, execArgv: [] } };
  return {
    script: new URL('./source-entry.mjs', import.meta.url),
    options: { workerData, execArgv: ['--conditions=source'] },
  };
}

function isSource(url: string): boolean {
  return url.endsWith(SOURCE_EXTENSION);
}
