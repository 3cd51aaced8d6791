import { WEATHER_UNIT } from '@lineside/readings';
import { STATION_INTERVAL_MS, type Station } from '../world/station.ts';
import type { ServiceRecord } from '../world/technician.ts';
import type { SimulatedReading, UnitWorld } from '../world/unit-world.ts';
import type { NodeLink } from './node-link.ts';

/** What the simulated nodes of units and outdoor stations have in common. */
interface Source {
  readonly site: string;
  readonly unit: string;
  /** Between two samples, unless the live interval is shorter and it follows that. */
  readonly intervalMs: number;
  readonly followsLiveInterval: boolean;
  step(atMs: number): SimulatedReading | null;
  deliveredAtMs(atMs: number): number;
  takeServiceRecords(): readonly ServiceRecord[];
}

export function unitSource(world: UnitWorld): Source {
  return {
    site: world.unit.site,
    unit: world.unit.id,
    intervalMs: 60_000,
    followsLiveInterval: true,
    step: (atMs) => world.step(atMs),
    deliveredAtMs: (atMs) => world.deliveredAtMs(atMs),
    takeServiceRecords: () => world.takeServiceRecords(),
  };
}

/** A station reports at its own pace, however fast the units do. */
export function stationSource(station: Station): Source {
  return {
    site: station.site,
    unit: WEATHER_UNIT,
    intervalMs: STATION_INTERVAL_MS,
    followsLiveInterval: false,
    step: (atMs) => station.step(atMs),
    deliveredAtMs: (atMs) => atMs,
    takeServiceRecords: () => [],
  };
}

/** A node in the world and its link to the broker. */
export class PublishedNode {
  readonly source: Source;
  readonly link: NodeLink;
  /** Measured, but held back by an outage of the network. */
  private readonly held: SimulatedReading[] = [];
  private nextMs: number;
  private lastMs: number = Number.POSITIVE_INFINITY;
  /** The newest sample could not be taken: no supply, or a dead node. */
  private silent = false;

  /** @param firstMs time of the first sample. */
  constructor(source: Source, link: NodeLink, firstMs: number) {
    this.source = source;
    this.link = link;
    this.nextMs = firstMs;
  }

  /** Time of the sample that comes next. */
  get nextSampleMs(): number {
    return this.nextMs;
  }

  /** Takes the samples that are due; readings before `fromMs` happen but are not sent. */
  sample(throughMs: number, fromMs: number, intervalMs: number): void {
    // The interval may have become shorter since the last sample, when live follows history.
    this.nextMs = Math.min(this.nextMs, this.lastMs + intervalMs);
    while (this.nextMs <= throughMs) {
      const reading = this.source.step(this.nextMs);
      this.silent = reading === null;
      const arrives = Number.isFinite(this.source.deliveredAtMs(this.nextMs));
      if (reading !== null && arrives && reading.atMs >= fromMs) this.held.push(reading);
      this.lastMs = this.nextMs;
      this.nextMs += intervalMs;
    }
  }

  /** Gives the link, oldest first, the readings that get through by `nowMs`. */
  release(nowMs: number): void {
    let through = 0;
    for (const reading of this.held) {
      if (this.source.deliveredAtMs(reading.atMs) > nowMs) break;
      through += 1;
    }
    if (through > 0) this.link.enqueue(this.held.splice(0, through));
  }

  /** A node without supply falls off the network, and comes back with its supply. */
  async followSupply(): Promise<void> {
    if (this.silent && this.link.connecting) await this.link.drop();
    else if (!this.silent) this.link.connect();
  }
}
