import { Agent as HttpAgent } from 'node:http';
import { Agent as HttpsAgent } from 'node:https';
import { InfluxDB, RequestTimedOutError, type WriteApi } from '@influxdata/influxdb-client';
import { authorization, statementsPerRequest, writePath } from './generation.ts';
import { influxFailure, isHanging, isPastRetention } from './influx-failure.ts';
import type { KnownInflux } from './influx-options.ts';
import { type AnswerSeries, seriesOfAnswer } from './query-answer.ts';
import { retrying } from './retrying.ts';

/**
 * Requests that the server works on at once for one thread; the others wait here, where they cost
 * nothing. Few, since each may read millions of values.
 */
const MOST_CONNECTIONS = 4;

/** Lines of one request: larger ones are no faster, and 5,000 with nine channels are 0.7 MB. */
const WRITE_MOST_LINES = 5_000;

/** A write is answered in a fraction of a second; the end of the program may wait for it. */
export const WRITE_TIMEOUT_MS = 8_000;

/** A page of one unit's rows takes some 50 ms, a ping less; the end may wait for a replay's. */
export const PAGE_TIMEOUT_MS = 4_000;

/** What a request gets once the end is near: a server that is well needs far less. */
const LAST_TIMEOUT_MS = 2_000;

/** Questions over millions of values take seconds on a busy machine. */
export const READ_TIMEOUT_MS = 30_000;

const HERE: ReadonlySet<string> = new Set(['127.0.0.1', 'localhost', '[::1]']);
/** Bodies below it are not worth compressing. */
const GZIP_FROM_BYTES = 1_000;

/** Requests to one InfluxDB, tried again within bounds. Everything rejects with `StoreError`. */
export class InfluxConnection {
  readonly #known: KnownInflux;
  readonly #agent: HttpAgent;
  readonly #client: InfluxDB;
  readonly #writeApi: WriteApi;
  readonly #where: string;
  /** How to give up each request that runs. */
  readonly #running = new Set<() => void>();
  #isEnding = false;

  constructor(known: KnownInflux, timeoutMs: number) {
    this.#known = known;
    this.#where = `InfluxDB at ${new URL(known.url).host}`;
    this.#agent = agentFor(known.url);
    this.#client = clientFor(known, this.#agent, timeoutMs);
    this.#writeApi = writeApiFor(this.#client, known);
  }

  /**
   * Asks statements that read; each has its list of series, in their order.
   *
   * @param together statements of one request at most, fewer where each is much work.
   */
  async query(
    statements: readonly string[],
    together: number = Infinity,
  ): Promise<readonly (readonly AnswerSeries[])[]> {
    const most = Math.min(statementsPerRequest(this.#known.generation), together);
    const parts: Promise<readonly (readonly AnswerSeries[])[]>[] = [];
    for (let at = 0; at < statements.length; at += most) {
      parts.push(this.#ask(statements.slice(at, at + most), 'GET'));
    }
    return (await Promise.all(parts)).flat();
  }

  /** Runs one statement that changes something. */
  async command(statement: string): Promise<void> {
    await this.#ask([statement], 'POST');
  }

  /**
   * Resolves when the server has taken all lines; in parts of at most `WRITE_MOST_LINES`. Lines that
   * it refuses because they are past its retention would be forgotten at once and count as taken:
   * whoever waits for them would wait for ever.
   */
  async write(lines: readonly string[]): Promise<void> {
    for (let at = 0; at < lines.length; at += WRITE_MOST_LINES) {
      const part = lines.slice(at, at + WRITE_MOST_LINES);
      await this.#trying(async () => {
        try {
          this.#writeApi.writeRecords(part);
          await this.#writeApi.flush();
        } catch (error) {
          if (!isPastRetention(error)) throw error;
        }
      });
    }
  }

  /** The end is near: requests get a short time and are not tried again. */
  hurry(): void {
    this.#isEnding = true;
    for (const giveUp of this.#running) setTimeout(giveUp, LAST_TIMEOUT_MS).unref();
  }

  close(): void {
    this.#writeApi.dispose();
    this.#agent.destroy();
  }

  async #ask(
    statements: readonly string[],
    method: 'GET' | 'POST',
  ): Promise<readonly (readonly AnswerSeries[])[]> {
    const parameters = { db: this.#known.bucket, q: statements.join('; '), epoch: 'ms' };
    const path = `/query?${new URLSearchParams(parameters)}`;
    const headers = { accept: 'application/json' };
    return this.#trying(async () => {
      const answer: unknown = await this.#client.transport.request(path, '', { method, headers });
      return seriesOfAnswer(answer, statements.length, this.#where);
    });
  }

  async #trying<T>(attempt: () => Promise<T>): Promise<T> {
    try {
      return await retrying(async () => {
        try {
          return await this.#unlessGivenUp(attempt);
        } catch (error) {
          // The client leaves such a connection open, and it would count for ever.
          if (isHanging(error)) this.#agent.destroy();
          throw this.#isEnding ? influxFailure(error, this.#where) : error;
        }
      });
    } catch (error) {
      throw influxFailure(error, this.#where);
    }
  }

  #unlessGivenUp<T>(attempt: () => Promise<T>): Promise<T> {
    return new Promise((resolve, reject) => {
      const giveUp = (): void => reject(new RequestTimedOutError());
      const timer = this.#isEnding ? setTimeout(giveUp, LAST_TIMEOUT_MS) : undefined;
      this.#running.add(giveUp);
      attempt()
        .then(resolve, reject)
        .finally(() => {
          clearTimeout(timer);
          this.#running.delete(giveUp);
        });
    });
  }
}

function agentFor(url: string): HttpAgent {
  const options = { keepAlive: true, maxSockets: MOST_CONNECTIONS };
  return new URL(url).protocol === 'https:' ? new HttpsAgent(options) : new HttpAgent(options);
}

function clientFor(known: KnownInflux, agent: HttpAgent, timeout: number): InfluxDB {
  const basic = authorization(known.generation, known.token);
  return new InfluxDB({
    url: known.url,
    timeout,
    transportOptions: { agent },
    ...(basic === null ? {} : { headers: { authorization: basic } }),
    ...(basic === null && known.token !== null ? { token: known.token } : {}),
  });
}

/**
 * Nothing is kept by the client: it sends at once, and what fails comes back to us, since its own
 * queue is emptied without a word when the program ends.
 */
function writeApiFor(client: InfluxDB, known: KnownInflux): WriteApi {
  const local = HERE.has(new URL(known.url).hostname);
  const api = client.getWriteApi(known.org ?? '', known.bucket, 'ms', {
    batchSize: WRITE_MOST_LINES + 1,
    flushInterval: 0,
    maxRetries: 0,
    gzipThreshold: local ? Number.MAX_SAFE_INTEGER : GZIP_FROM_BYTES,
    writeFailed: (error) => Promise.reject(error),
  });
  const path = writePath(known.generation, known.bucket);
  if (path !== null) api.path = path;
  return api;
}
