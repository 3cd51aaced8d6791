import type { Alarm } from './alarm.ts';
import { REOPEN_WITHIN_MS } from './reduce.ts';

/** A stored alarm and what judging anew says of it. */
interface AlarmPair {
  readonly stored: Alarm;
  readonly judged: Alarm;
}

export interface AlarmMatches {
  readonly pairs: readonly AlarmPair[];
  /** Without a judged one. */
  readonly gone: readonly Alarm[];
  /** Judged without a stored one. */
  readonly added: readonly Alarm[];
}

interface Candidate extends AlarmPair {
  /** The smaller, the better; the first that differs decides. */
  readonly rank: readonly number[];
}

/**
 * Matches alarms of one unit one to one within a kind: those raised at the same time first, then
 * those that stood together longest, then those no further apart than a reopening may be. Two that
 * still stand stand together for ever. The order of the lists has no say.
 */
export function matchAlarms(stored: readonly Alarm[], judged: readonly Alarm[]): AlarmMatches {
  const storedInOrder = [...stored].sort(byRaise);
  const judgedInOrder = [...judged].sort(byRaise);
  const candidates = storedInOrder
    .flatMap((one) => judgedInOrder.map((other) => candidateOf(one, other)))
    .filter((candidate) => candidate !== null)
    .sort((a, b) => compareRanks(a.rank, b.rank));
  const taken = new Set<Alarm>();
  const pairs: AlarmPair[] = [];
  for (const { stored: one, judged: other } of candidates) {
    if (taken.has(one) || taken.has(other)) continue;
    taken.add(one).add(other);
    pairs.push({ stored: one, judged: other });
  }
  return {
    pairs,
    gone: storedInOrder.filter((alarm) => !taken.has(alarm)),
    added: judgedInOrder.filter((alarm) => !taken.has(alarm)),
  };
}

/** Oldest raise first, then what ended first; ids only where all else is the same. */
export function byRaise(a: Alarm, b: Alarm): number {
  const byTimes = compareRanks([a.raisedAtMs, endMs(a)], [b.raisedAtMs, endMs(b)]);
  if (byTimes !== 0) return byTimes;
  if (a.kind !== b.kind) return a.kind < b.kind ? -1 : 1;
  if (a.id === b.id) return 0;
  return a.id < b.id ? -1 : 1;
}

function candidateOf(stored: Alarm, judged: Alarm): Candidate | null {
  if (stored.kind !== judged.kind) return null;
  const latestStartMs = Math.max(stored.raisedAtMs, judged.raisedAtMs);
  const commonMs = Math.min(endMs(stored), endMs(judged)) - latestStartMs;
  const gapMs = Math.max(0, -commonMs);
  const isSameRaise = stored.raisedAtMs === judged.raisedAtMs;
  if (!isSameRaise && gapMs > REOPEN_WITHIN_MS) return null;
  const closeness = commonMs > 0 ? 1 : 2;
  const apartMs = Math.abs(stored.raisedAtMs - judged.raisedAtMs);
  return { stored, judged, rank: [isSameRaise ? 0 : closeness, -commonMs, apartMs] };
}

function endMs({ clearedAtMs }: Alarm): number {
  return clearedAtMs ?? Number.POSITIVE_INFINITY;
}

/** Not by difference: two ends may both be infinite. */
function compareRanks(a: readonly number[], b: readonly number[]): number {
  for (const [index, one] of a.entries()) {
    const other = b[index] ?? one;
    if (one !== other) return one < other ? -1 : 1;
  }
  return 0;
}
