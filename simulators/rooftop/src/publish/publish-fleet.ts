import { setImmediate as nextTurn } from 'node:timers/promises';
import { WEATHER_UNIT } from '@lineside/readings';
import type { ServiceRecord } from '../world/technician.ts';
import type { World } from '../world/world.ts';
import { type NodeCredentials, NodeLink, PACK_MOST_READINGS } from './node-link.ts';
import { pause } from './pause.ts';
import { PublishedNode, stationSource, unitSource } from './published-node.ts';

/** All units move forward together by one pack's time, so that the story unfolds fleet-wide. */
const SLICE_MS: number = PACK_MOST_READINGS * 60_000;

export const DEFAULT_LIVE_INTERVAL_MS = 60_000;

/** Faster would only measure the broker: one reading a second and unit. */
const SHORTEST_LIVE_INTERVAL_MS = 1000;

/** How long the live loop sleeps at most before it asks the clock again. */
const LONGEST_PAUSE_MS = 200;

/** Weather that no unit will ask for again is let go after so long. */
const WEATHER_KEPT_MS = 86_400_000;

export interface PublishProgress {
  readonly site: string;
  readonly unit: string;
  /** Event time through which all readings are acknowledged; null: none yet. */
  readonly sentThroughMs: number | null;
  /** True once the unit's history is sent. */
  readonly done: boolean;
}

export interface PublishFleetOptions {
  /** `mqtt://host:port` */
  readonly mqttUrl: string;
  /** For every unit, and for unit `weather` of every site. */
  readonly credentials: (site: string, unit: string) => NodeCredentials;
  /** Fresh: nothing of it has been stepped yet. */
  readonly world: World;
  /** Readings before are simulated but not sent. */
  readonly historyFromMs: number;
  readonly nowMs: () => number;
  readonly signal: AbortSignal;
  readonly onProgress?: (progress: PublishProgress) => void;
  /** Called for each service record, in order of time, before the readings around it are sent. */
  readonly postService?: (record: ServiceRecord) => Promise<void>;
  /** Time between two readings of a unit once the history is sent; at least one second. */
  readonly liveIntervalMs?: number;
  /** False: resolve when the history is sent. Default true. */
  readonly live?: boolean;
}

/**
 * Plays the world to a broker: first the history as packs of backlog, all units together in order
 * of time with the weather ahead of them, then live. Resolves when the signal aborts (or, without
 * live, when the history is acknowledged); nodes then vanish, and their last wills say so.
 * Rejects when the broker refuses a sign-in or `postService` rejects.
 */
export async function publishFleet(options: PublishFleetOptions): Promise<void> {
  const { signal } = options;
  const run = new FleetRun(options);
  const stopped = new Error('publishing was stopped');
  const stop = (): void => run.fail(stopped);
  signal.addEventListener('abort', stop, { once: true });
  try {
    if (!signal.aborted) await run.play();
  } catch (error) {
    if (error !== stopped) throw error;
  } finally {
    signal.removeEventListener('abort', stop);
    await run.end();
  }
}

class FleetRun {
  private readonly options: PublishFleetOptions;
  private readonly stations: readonly PublishedNode[];
  private readonly units: readonly PublishedNode[];
  private readonly liveIntervalMs: number;
  private cursorMs: number;

  constructor(options: PublishFleetOptions) {
    const { world } = options;
    this.options = options;
    this.cursorMs = world.startMs;
    this.liveIntervalMs = Math.max(
      SHORTEST_LIVE_INTERVAL_MS,
      options.liveIntervalMs ?? DEFAULT_LIVE_INTERVAL_MS,
    );
    this.stations = world.stations.map((station) => {
      const source = stationSource(station);
      const link = this.link(station.site, WEATHER_UNIT, 'json');
      return new PublishedNode(source, link, world.startMs + source.intervalMs);
    });
    this.units = world.units.map((unit) => {
      const link = this.link(unit.unit.site, unit.unit.id, unit.fit.encoding);
      return new PublishedNode(
        unitSource(unit),
        link,
        world.startMs + 60_000 + unit.sampleOffsetMs,
      );
    });
  }

  async play(): Promise<void> {
    const { signal, nowMs, live = true } = this.options;
    for (const node of this.nodes()) node.link.connect();
    while (!signal.aborted && this.cursorMs < nowMs()) {
      await this.historySlice(Math.min(nowMs(), this.cursorMs + SLICE_MS));
    }
    await Promise.all(this.nodes().map((node) => node.link.drained()));
    for (const node of this.units) this.report(node, true);
    while (live && !signal.aborted) {
      await this.liveStep(nowMs());
      const dueMs = Math.min(...this.nodes().map((node) => node.nextSampleMs));
      await pause(Math.min(LONGEST_PAUSE_MS, Math.max(1, dueMs - nowMs())), signal);
    }
  }

  fail(reason: Error): void {
    for (const node of this.nodes()) node.link.fail(reason);
  }

  async end(): Promise<void> {
    await Promise.all(this.nodes().map((node) => node.link.drop()));
  }

  private async historySlice(throughMs: number): Promise<void> {
    const { historyFromMs, world } = this.options;
    for (const station of this.stations) {
      station.sample(throughMs, historyFromMs, station.source.intervalMs);
      station.release(throughMs);
    }
    // The outdoors must be known before the units are judged by it.
    await Promise.all(this.stations.map((station) => station.link.drained()));
    for (const node of this.units) {
      node.sample(throughMs, historyFromMs, node.source.intervalMs);
      await this.postService(node);
      node.release(throughMs);
      await node.link.room();
      this.report(node, false);
      // Lets sockets breathe: a slice of one unit is a few milliseconds of work.
      await nextTurn();
    }
    this.cursorMs = throughMs;
    for (const site of world.sites) site.forgetBefore(throughMs - WEATHER_KEPT_MS);
  }

  /** Never waits for the broker: what cannot be sent now stays in the nodes' backlogs. */
  private async liveStep(nowMs: number): Promise<void> {
    const { historyFromMs } = this.options;
    for (const node of this.nodes()) {
      node.link.throwIfFailed();
      const { intervalMs, followsLiveInterval } = node.source;
      const live = followsLiveInterval ? Math.min(this.liveIntervalMs, intervalMs) : intervalMs;
      node.sample(nowMs, historyFromMs, live);
      await this.postService(node);
      node.release(nowMs);
      await node.followSupply();
    }
    for (const site of this.options.world.sites) site.forgetBefore(nowMs - WEATHER_KEPT_MS);
  }

  private async postService(node: PublishedNode): Promise<void> {
    for (const record of node.source.takeServiceRecords()) {
      await this.options.postService?.(record);
    }
  }

  private report(node: PublishedNode, done: boolean): void {
    const { site, unit } = node.source;
    this.options.onProgress?.({ site, unit, sentThroughMs: node.link.sentThroughMs, done });
  }

  private nodes(): readonly PublishedNode[] {
    return [...this.stations, ...this.units];
  }

  private link(site: string, unit: string, encoding: 'json' | 'cbor'): NodeLink {
    const { mqttUrl, credentials } = this.options;
    return new NodeLink({ mqttUrl, site, unit, encoding, credentials: credentials(site, unit) });
  }
}
