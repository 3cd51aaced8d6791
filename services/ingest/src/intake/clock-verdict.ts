import type { ClockLeads, Leads } from './node-traffic.ts';

/** Fewer nodes may share a fault of their own. */
const LEAST_NODES = 3;

/** Nodes with a clock of their own drift by seconds; common practice, no source. */
const AHEAD_SECONDS = 60;

/** A report every two minutes and a slow radio link stay below. */
const BEHIND_SECONDS = 300;

/** Clocks that are each wrong differ from each other. */
const SAME_WITHIN_SECONDS = 180;

/**
 * What most nodes at once say about this machine's own clock, in words; null when nothing is wrong
 * with it. Readings that were kept back look like slow clocks, so this clock counts as ahead only
 * where half of the nodes have been behind it for minutes, all by about the same.
 */
export function clockVerdict(leads: ClockLeads | null): string | null {
  if (leads === null || leads.nodes < LEAST_NODES) return null;
  if (leads.median > AHEAD_SECONDS) return inWords(leads, 'ahead of');
  const { steady } = leads;
  if (steady === null || steady.nodes < Math.max(LEAST_NODES, leads.nodes / 2)) return null;
  const isSame = steady.high - steady.low < SAME_WITHIN_SECONDS;
  return steady.median < -BEHIND_SECONDS && isSame ? inWords(steady, 'behind') : null;
}

function inWords({ nodes, median }: Leads, where: string): string {
  const seconds = Math.round(Math.abs(median));
  return (
    `half of ${nodes} nodes send times ${seconds} s or more ${where} this machine's clock: ` +
    'set its clock (timedatectl), or that of the nodes'
  );
}
