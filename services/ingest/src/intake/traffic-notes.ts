import type { Logger } from 'pino';
import { clockVerdict } from './clock-verdict.ts';
import type { NodeTraffic } from './node-traffic.ts';

/**
 * Messages a second over a whole minute from which on a node is said to flood: six hundred times as
 * many as usual. A backlog comes as fast, and ends within minutes.
 */
const FLOOD_PER_SECOND = 10;

/** Nodes that are said to flood at once; what more there is, the broker has other troubles. */
const MOST_FLOODING = 5;

/** Writes into the log, once each, when nodes flood and when clocks differ. */
export class TrafficNotes {
  readonly #traffic: NodeTraffic;
  readonly #log: Logger;
  #flooding: ReadonlySet<string> = new Set();
  #clock: string | null = null;

  constructor(traffic: NodeTraffic, log: Logger) {
    this.#traffic = traffic;
    this.#log = log;
  }

  /** To be called every few seconds. */
  look(): void {
    const loud = this.#traffic
      .loudest(MOST_FLOODING)
      .filter(({ perSecond }) => perSecond >= FLOOD_PER_SECOND);
    for (const { node, perSecond } of loud) {
      if (this.#flooding.has(node)) continue;
      this.#log.warn(
        { node, perSecond: Math.round(perSecond) },
        'a node sends far more than usual: unless it brings a backlog, take its sign-in away and ' +
          'see to it',
      );
    }
    const now = new Set(loud.map(({ node }) => node));
    for (const node of this.#flooding) {
      if (!now.has(node)) this.#log.info({ node }, 'a node sends as usual again');
    }
    this.#flooding = now;
    this.#lookAtClock();
  }

  #lookAtClock(): void {
    const verdict = clockVerdict(this.#traffic.clockLeads());
    if (verdict !== null && this.#clock === null) this.#log.warn(verdict);
    if (verdict === null && this.#clock !== null) {
      this.#log.info("this machine's clock and those of its nodes agree again");
    }
    this.#clock = verdict;
  }
}
