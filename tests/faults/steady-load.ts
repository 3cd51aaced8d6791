/** A fleet of nodes that sends at a steady rate whatever happens, and what must be stored of it. */
import type { NodeSignIn } from './paged-place.ts';
import { SteadyNode } from './steady-node.ts';

const PUMP_EVERY_MS = 20;
/** A prime, so that no neighbour in time or among the units has the same value. */
const VALUES = 9_973;
const MICRO = 1e-6;
const POINTS_A_QUESTION = 20_000;

export interface SteadyLoadOptions {
  readonly nodes: readonly NodeSignIn[];
  /** `host:port` of the broker. */
  readonly broker: string;
  /** Time between two readings of one node, ms. */
  readonly everyMs: number;
  /** Messages that a node may have under way; default 20. */
  readonly window?: number;
  /** Default 10 s. */
  readonly patienceMs?: number;
}

export interface StoredCheck {
  /** Readings that were asked about: all that were made. */
  readonly made: number;
  /** Event times of those that are not stored. */
  readonly lostAtMs: readonly number[];
  /** In words, one for each unit where something is stored that was not sent, or twice. */
  readonly faults: readonly string[];
}

export class SteadyLoad {
  readonly #options: SteadyLoadOptions;
  readonly #nodes: readonly SteadyNode[];
  readonly #fromMs: number;
  readonly #startedAtMs = performance.now();
  readonly #timer: NodeJS.Timeout;
  #dueAtEnd: number | null = null;

  /** Begins at once; readings carry the time at which they are made. */
  constructor(options: SteadyLoadOptions) {
    this.#options = options;
    this.#fromMs = Math.floor(Date.now() / 1000) * 1000;
    this.#nodes = options.nodes.map(
      ({ site, unit, username, password }, order) =>
        new SteadyNode({
          clientId: `steady-${order}`,
          username,
          password,
          topic: `lineside/${site}/${unit}/telemetry`,
          broker: options.broker,
          window: options.window ?? 20,
          patienceMs: options.patienceMs ?? 10_000,
          payload: (index) => pack(this.#atMs(index), leakAmps(order, index)),
        }),
    );
    this.#timer = setInterval(() => this.#pump(), PUMP_EVERY_MS);
  }

  get made(): number {
    return this.#nodes.length * this.#due();
  }

  get acknowledged(): number {
    return this.#sum(({ acknowledged }) => acknowledged);
  }

  /** Made and not acknowledged. */
  get backlog(): number {
    return this.made - this.acknowledged;
  }

  get resent(): number {
    return this.#sum(({ resent }) => resent);
  }

  get connected(): number {
    return this.#sum(({ isConnected }) => Number(isConnected));
  }

  /** Makes no more readings; what was made is still delivered. */
  finish(): void {
    this.#dueAtEnd = this.#due();
  }

  /** Disconnects. */
  end(): void {
    clearInterval(this.#timer);
    for (const node of this.#nodes) node.end();
  }

  /** Reads everything back: each reading once, with its value, and none besides. */
  async check(http: string, office: string): Promise<StoredCheck> {
    const due = this.#due();
    const faults: string[] = [];
    const lostAtMs: number[] = [];
    for (const [order, { site, unit }] of this.#options.nodes.entries()) {
      const points = await this.#stored(`${http}/api/units/${site}/${unit}/telemetry`, office, due);
      const wanted = new Map(
        Array.from({ length: due }, (_, index) => [this.#atMs(index), leakAmps(order, index)]),
      );
      const strange = points.filter(
        ([atMs = 0, min, , max]) => min !== max || wanted.get(atMs) !== min,
      );
      const times = new Set(points.map(([atMs]) => atMs));
      lostAtMs.push(...[...wanted.keys()].filter((atMs) => !times.has(atMs)));
      const doubled = points.length - times.size;
      if (strange.length + doubled > 0) {
        faults.push(`${site}/${unit}: of ${due}, ${strange.length} strange, ${doubled} doubled`);
      }
    }
    return { made: this.made, lostAtMs, faults };
  }

  async #stored(url: string, office: string, due: number): Promise<readonly number[][]> {
    const all: number[][] = [];
    for (let from = 0; from < due; from += POINTS_A_QUESTION / 2) {
      const to = Math.min(due, from + POINTS_A_QUESTION / 2);
      const query = new URLSearchParams({
        from: new Date(this.#atMs(from)).toISOString(),
        to: new Date(this.#atMs(to)).toISOString(),
        channels: 'leak',
        points: String(POINTS_A_QUESTION),
      });
      const headers = { authorization: `Bearer ${office}` };
      const answer = await fetch(`${url}?${query}`, { headers });
      if (!answer.ok) throw new Error(`${url}: ${answer.status} ${await answer.text()}`);
      const body = (await answer.json()) as { channels: { leak?: { points: number[][] } } };
      all.push(...(body.channels.leak?.points ?? []));
    }
    return all;
  }

  #atMs(index: number): number {
    return this.#fromMs + index * this.#options.everyMs;
  }

  #due(): number {
    if (this.#dueAtEnd !== null) return this.#dueAtEnd;
    return Math.floor((performance.now() - this.#startedAtMs) / this.#options.everyMs);
  }

  #pump(): void {
    const due = this.#due();
    const nowMs = performance.now();
    for (const node of this.#nodes) node.pump(due, nowMs);
  }

  #sum(count: (node: SteadyNode) => number): number {
    return this.#nodes.reduce((sum, node) => sum + count(node), 0);
  }
}

/** One reading of six channels. */
function pack(atMs: number, leak: number): string {
  return JSON.stringify([
    { bt: atMs / 1000, n: 'leak', u: 'A', v: leak },
    { n: 'rh', u: '%RH', v: 61.24 },
    { n: 't', u: 'Cel', v: 14.21 },
    { n: 'ia', u: 'A', v: 17.12 },
    { n: 'ib', u: 'A', v: 17.03 },
    { n: 'ic', u: 'A', v: 17.31 },
  ]);
}

/** A value that belongs to its unit and number alone, so that a mixed-up reading shows. */
function leakAmps(order: number, index: number): number {
  return Number((((order * 31 + index) % VALUES) * MICRO).toFixed(6));
}
