import { diagnose, marksText, type Seen } from '../diagnosis/diagnose.ts';
import type { MarkName } from '../diagnosis/evidence-table.ts';
import {
  type FieldGuards,
  hasShape,
  isBoolean,
  isListOf,
  isNumber,
  isNumberOrNull,
  isOneOf,
} from '../field-guards.ts';
import { isHigher } from '../priority-order.ts';
import { type FindingChange, PRIORITIES, type Priority } from '../vocabulary.ts';
import { type DetectorStep, NO_CHANGES } from './detector-step.ts';

/**
 * Fuses replaced again and again while nobody asks why.
 *
 * Uses: service records `fuses-replaced` and `root-cause`. The second replacement within 90 days
 * without a root cause in between is routine, the third urgent (common practice, no source).
 * Ends with a root cause, or when the replacements have grown older than 90 days.
 */
export interface RepeatFuseSlice {
  /** Oldest first, at most `REPEAT_FUSE_MOST_RECORDS`, none older than 90 days. */
  readonly replacements: readonly FuseReplacement[];
  readonly rootCauseAtMs: number | null;
  readonly standing: Priority | null;
}

interface FuseReplacement {
  readonly atMs: number;
  readonly phaseA: boolean;
  readonly phaseB: boolean;
  readonly phaseC: boolean;
}

const REPEAT_FUSE_WINDOW_MS: number = 90 * 86_400_000;
/** More would not change the judgement; the count in the headline stops here. */
const REPEAT_FUSE_MOST_RECORDS = 12;

export const REPEAT_FUSE_START: RepeatFuseSlice = {
  replacements: [],
  rootCauseAtMs: null,
  standing: null,
};

const isReplacement = hasShape<FuseReplacement>({
  atMs: isNumber,
  phaseA: isBoolean,
  phaseB: isBoolean,
  phaseC: isBoolean,
});

export const REPEAT_FUSE_FIELDS: FieldGuards<RepeatFuseSlice> = {
  replacements: isListOf(isReplacement, REPEAT_FUSE_MOST_RECORDS),
  rootCauseAtMs: isNumberOrNull,
  standing: isOneOf([null, ...PRIORITIES]),
};

/** `atMs`: time of the record; `nowMs`: the watch's event time, never before what it judged. */
export function recordFuses(
  slice: RepeatFuseSlice,
  action: string,
  atMs: number,
  nowMs: number,
  phases: readonly ('a' | 'b' | 'c')[] | null,
): DetectorStep<RepeatFuseSlice> {
  if (action === 'root-cause') {
    const rootCauseAtMs = Math.max(atMs, slice.rootCauseAtMs ?? atMs);
    const replacements = slice.replacements.filter((each) => each.atMs > rootCauseAtMs);
    return settle({ ...slice, replacements, rootCauseAtMs }, nowMs);
  }
  if (action !== 'fuses-replaced') return { slice, changes: NO_CHANGES };
  const explained = slice.rootCauseAtMs !== null && atMs <= slice.rootCauseAtMs;
  const known = slice.replacements.some((each) => each.atMs === atMs);
  if (explained || known) return { slice, changes: NO_CHANGES };
  const all = phases === null || phases.length === 0;
  const replacement: FuseReplacement = {
    atMs,
    phaseA: all || phases.includes('a'),
    phaseB: all || phases.includes('b'),
    phaseC: all || phases.includes('c'),
  };
  const replacements = [...slice.replacements, replacement]
    .sort((first, second) => first.atMs - second.atMs)
    .slice(-REPEAT_FUSE_MOST_RECORDS);
  return settle({ ...slice, replacements }, nowMs);
}

/** Lets replacements grow old. Cheap when there is nothing to forget. */
export function ageRepeatFuse(slice: RepeatFuseSlice, atMs: number): DetectorStep<RepeatFuseSlice> {
  const oldest = slice.replacements[0];
  if (oldest === undefined || atMs - oldest.atMs <= REPEAT_FUSE_WINDOW_MS) {
    return { slice, changes: NO_CHANGES };
  }
  return settle(slice, atMs);
}

function settle(slice: RepeatFuseSlice, nowMs: number): DetectorStep<RepeatFuseSlice> {
  const replacements = slice.replacements.filter(
    (each) => nowMs - each.atMs <= REPEAT_FUSE_WINDOW_MS,
  );
  const count = replacements.length;
  if (count < 2) {
    const changes: readonly FindingChange[] =
      slice.standing === null
        ? NO_CHANGES
        : [{ change: 'closed', kind: 'repeat-fuse', atMs: nowMs }];
    return { slice: { ...slice, replacements, standing: null }, changes };
  }
  const reached: Priority = count === 2 ? 'routine' : 'urgent';
  if (!isHigher(reached, slice.standing)) {
    return { slice: { ...slice, replacements }, changes: NO_CHANGES };
  }
  const change = slice.standing === null ? 'opened' : 'escalated';
  const finding = repeatFuseFinding(change, reached, replacements, nowMs);
  return { slice: { ...slice, replacements, standing: reached }, changes: [finding] };
}

function repeatFuseFinding(
  change: 'opened' | 'escalated',
  priority: Priority,
  replacements: readonly FuseReplacement[],
  atMs: number,
): FindingChange {
  const count = replacements.length;
  const newest = replacements.at(-1);
  const phases = (['A', 'B', 'C'] as const).filter((phase) => newest?.[`phase${phase}`] === true);
  const byFuses = BY_FUSES[phases.length] ?? null;
  const marks: readonly Seen[] = byFuses === null ? [] : [byFuses];
  return {
    change,
    kind: 'repeat-fuse',
    priority,
    atMs,
    headline: `Fuses replaced ${count} times in 90 days, root cause still open`,
    evidence: {
      replacementsIn90Days: count,
      firstReplacementMs: replacements[0]?.atMs ?? null,
      newestReplacementMs: newest?.atMs ?? null,
      newestReplacedPhases: phases.join(' '),
      marks: marksText(marks),
    },
    causes: diagnose('repeat-fuse', marks),
  };
}

/** One fuse suggests phase to ground, two pole to pole, three an arc that spread. */
const BY_FUSES: readonly (MarkName | null)[] = [
  null,
  'one-fuse-opened',
  'two-fuses-opened',
  'three-fuses-opened',
];
