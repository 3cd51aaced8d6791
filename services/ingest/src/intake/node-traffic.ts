import { unitKey } from '../fleet-index.ts';

/** Rates and clocks are told over whole windows of this length; nodes send every minute or two. */
const WINDOW_MS = 60_000;

/** A clock is known by what a node sent within the last five to ten minutes. */
const CLOCK_WINDOW_MS = 300_000;

/** Nodes that are counted apart; as many as may connect. Further ones count as one. */
const MOST_NODES = 20_000;
const OTHERS = 'others';

export interface NodeRate {
  /** `<site>/<unit>` */
  readonly node: string;
  readonly perSecond: number;
}

/** Percentiles over nodes (10th, 50th, 90th), seconds. */
export interface Leads {
  readonly nodes: number;
  readonly low: number;
  readonly median: number;
  readonly high: number;
}

/** How far the newest event times of nodes lie ahead of their receipt. */
export interface ClockLeads extends Leads {
  /**
   * The same of those whose lead has not changed for two minutes; null while there are none. What a
   * node had kept comes faster than time goes by, so a backlog never stays where it is.
   */
  readonly steady: Leads | null;
}

/** What the messages of one node in a window say about its clock. */
interface NodeLead {
  readonly firstAtMs: number;
  lastAtMs: number;
  leastMs: number;
  mostMs: number;
}

const STEADY_FOR_MS = 120_000;

/** Nodes gather readings for a minute or two before they send them. */
const STEADY_WITHIN_MS = 180_000;

/** What nodes send, by node: how often, and how their clocks stand to this machine's. */
export class NodeTraffic {
  readonly #clock: () => number;
  readonly #counts: Windows<number>;
  readonly #leads: Windows<NodeLead>;

  constructor(clock: () => number) {
    this.#clock = clock;
    this.#counts = new Windows(clock(), WINDOW_MS);
    this.#leads = new Windows(clock(), CLOCK_WINDOW_MS);
  }

  /** A message came in. */
  received(site: string, unit: string): void {
    const counts = this.#counts.current(this.#clock());
    const node = nameIn(counts, unitKey(site, unit));
    counts.set(node, (counts.get(node) ?? 0) + 1);
  }

  /** The newest event time of a message, those that are out of range included. */
  newest(site: string, unit: string, receivedAtMs: number, newestMs: number): void {
    const leads = this.#leads.current(receivedAtMs);
    const node = nameIn(leads, unitKey(site, unit));
    const leadMs = newestMs - receivedAtMs;
    const lead = leads.get(node);
    if (lead === undefined) {
      leads.set(node, {
        firstAtMs: receivedAtMs,
        lastAtMs: receivedAtMs,
        leastMs: leadMs,
        mostMs: leadMs,
      });
      return;
    }
    // In place, since this runs for every message.
    lead.lastAtMs = receivedAtMs;
    if (leadMs < lead.leastMs) lead.leastMs = leadMs;
    if (leadMs > lead.mostMs) lead.mostMs = leadMs;
  }

  /** The nodes that sent most in the last whole minute, most first. */
  loudest(most: number): NodeRate[] {
    const counts = this.#counts.whole(this.#clock());
    return [...counts]
      .sort(([, one], [, other]) => other - one)
      .slice(0, most)
      .map(([node, count]) => ({ node, perSecond: count / (WINDOW_MS / 1000) }));
  }

  /** Null while no node was heard. */
  clockLeads(): ClockLeads | null {
    const leads = [...this.#leads.joined(this.#clock(), both).values()];
    const all = leadsOf(leads);
    return all === null ? null : { ...all, steady: leadsOf(leads.filter(isSteady)) };
  }
}

function both(one: NodeLead, other: NodeLead): NodeLead {
  return {
    firstAtMs: Math.min(one.firstAtMs, other.firstAtMs),
    lastAtMs: Math.max(one.lastAtMs, other.lastAtMs),
    leastMs: Math.min(one.leastMs, other.leastMs),
    mostMs: Math.max(one.mostMs, other.mostMs),
  };
}

function isSteady({ firstAtMs, lastAtMs, leastMs, mostMs }: NodeLead): boolean {
  return lastAtMs - firstAtMs >= STEADY_FOR_MS && mostMs - leastMs <= STEADY_WITHIN_MS;
}

/** By the newest time of each node: what else it sent with it may have been kept for a while. */
function leadsOf(leads: readonly NodeLead[]): Leads | null {
  const sorted = leads.map(({ mostMs }) => mostMs / 1000).sort((a, b) => a - b);
  if (sorted.length === 0) return null;
  const at = (share: number): number => sorted[Math.floor(share * sorted.length)] ?? 0;
  return { nodes: sorted.length, low: at(0.1), median: at(0.5), high: at(0.9) };
}

function nameIn(known: ReadonlyMap<string, unknown>, node: string): string {
  return known.size < MOST_NODES || known.has(node) ? node : OTHERS;
}

/** What is known by name in the window that runs and in the one before. */
class Windows<T> {
  readonly #lengthMs: number;
  #startMs: number;
  #current = new Map<string, T>();
  #last = new Map<string, T>();

  constructor(nowMs: number, lengthMs: number) {
    this.#startMs = nowMs;
    this.#lengthMs = lengthMs;
  }

  current(nowMs: number): Map<string, T> {
    this.#roll(nowMs);
    return this.#current;
  }

  /** The last window that has ended. */
  whole(nowMs: number): ReadonlyMap<string, T> {
    this.#roll(nowMs);
    return this.#last;
  }

  /** Both windows; names that are in both are put together. */
  joined(nowMs: number, together: (one: T, other: T) => T): ReadonlyMap<string, T> {
    this.#roll(nowMs);
    const all = new Map(this.#last);
    for (const [name, value] of this.#current) {
      const before = all.get(name);
      all.set(name, before === undefined ? value : together(before, value));
    }
    return all;
  }

  #roll(nowMs: number): void {
    const ended = Math.floor((nowMs - this.#startMs) / this.#lengthMs);
    if (ended === 0) return;
    // A clock that was set back begins anew as well.
    this.#last = ended === 1 ? this.#current : new Map();
    this.#current = new Map();
    this.#startMs = ended > 0 ? this.#startMs + ended * this.#lengthMs : nowMs;
  }
}
