import { diagnose, marksText, type Seen } from '../diagnosis/diagnose.ts';
import type { MarkName } from '../diagnosis/evidence-table.ts';
import { isDue, isTold, reconsider, type Told, toldBy } from '../diagnosis/reconsider.ts';
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
import {
  type FindingChange,
  PRIORITIES,
  type Priority,
  type RaisedFinding,
} from '../vocabulary.ts';
import { type DetectorStep, NO_CHANGES } from './detector-step.ts';

/**
 * Fuses replaced again and again while nobody asks why.
 *
 * Uses: service records `fuses-replaced` and `root-cause`. The second replacement within 90 days
 * without a root cause in between is routine, the third urgent (common practice, no source).
 * What else is known of the unit ranks the causes.
 * Ends with a root cause, or when the replacements have grown older than 90 days.
 */
export interface RepeatFuseSlice {
  /** Oldest first, at most `REPEAT_FUSE_MOST_RECORDS`, none older than 90 days. */
  readonly replacements: readonly FuseReplacement[];
  readonly rootCauseAtMs: number | null;
  readonly standing: Priority | null;
  readonly told: Told | null;
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
  told: null,
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
  told: isTold,
};

/** What a record says, and when it is read. */
interface FuseRecord {
  readonly action: string;
  readonly atMs: number;
  /** The watch's event time, never before what it judged. */
  readonly nowMs: number;
  readonly phases: readonly ('a' | 'b' | 'c')[] | null;
}

/** `beside`: what else is known of the unit, as marks (`beside-fuses.ts`). */
export function recordFuses(
  slice: RepeatFuseSlice,
  { action, atMs, nowMs, phases }: FuseRecord,
  beside: readonly MarkName[],
): DetectorStep<RepeatFuseSlice> {
  if (action === 'root-cause') {
    const rootCauseAtMs = Math.max(atMs, slice.rootCauseAtMs ?? atMs);
    const replacements = slice.replacements.filter((each) => each.atMs > rootCauseAtMs);
    return settle({ ...slice, replacements, rootCauseAtMs }, nowMs, beside);
  }
  if (action !== 'fuses-replaced') return { slice, changes: NO_CHANGES };
  const explained = slice.rootCauseAtMs !== null && atMs <= slice.rootCauseAtMs;
  const known = slice.replacements.some((each) => each.atMs === atMs);
  if (explained || known) return { slice, changes: NO_CHANGES };
  const replacement: FuseReplacement = {
    atMs,
    phaseA: phases?.includes('a') ?? false,
    phaseB: phases?.includes('b') ?? false,
    phaseC: phases?.includes('c') ?? false,
  };
  const replacements = [...slice.replacements, replacement]
    .sort((first, second) => first.atMs - second.atMs)
    .slice(-REPEAT_FUSE_MOST_RECORDS);
  return settle({ ...slice, replacements }, nowMs, beside);
}

/** Lets replacements grow old. Cheap when there is nothing to forget: `beside` is not asked then. */
export function ageRepeatFuse(
  slice: RepeatFuseSlice,
  atMs: number,
  beside: () => readonly MarkName[],
): DetectorStep<RepeatFuseSlice> {
  const oldest = slice.replacements[0];
  if (oldest === undefined || atMs - oldest.atMs <= REPEAT_FUSE_WINDOW_MS) {
    return { slice, changes: NO_CHANGES };
  }
  return settle(slice, atMs, beside());
}

function settle(
  slice: RepeatFuseSlice,
  nowMs: number,
  beside: readonly MarkName[],
): DetectorStep<RepeatFuseSlice> {
  const replacements = slice.replacements.filter(
    (each) => nowMs - each.atMs <= REPEAT_FUSE_WINDOW_MS,
  );
  const count = replacements.length;
  if (count < 2) {
    const changes: readonly FindingChange[] =
      slice.standing === null
        ? NO_CHANGES
        : [{ change: 'closed', kind: 'repeat-fuse', atMs: nowMs }];
    return { slice: { ...slice, replacements, standing: null, told: null }, changes };
  }
  const reached: Priority = count === 2 ? 'routine' : 'urgent';
  if (!isHigher(reached, slice.standing)) {
    const { standing, told } = slice;
    if (standing === null || !isDue(told, nowMs)) {
      return { slice: { ...slice, replacements }, changes: NO_CHANGES };
    }
    const anew = repeatFuseFinding('escalated', standing, replacements, nowMs, beside);
    const again = reconsider(told, anew);
    return { slice: { ...slice, replacements, told: again.told }, changes: again.changes };
  }
  const change = slice.standing === null ? 'opened' : 'escalated';
  const finding = repeatFuseFinding(change, reached, replacements, nowMs, beside);
  const told = toldBy(finding);
  return { slice: { ...slice, replacements, standing: reached, told }, changes: [finding] };
}

function repeatFuseFinding(
  change: 'opened' | 'escalated',
  priority: Priority,
  replacements: readonly FuseReplacement[],
  atMs: number,
  beside: readonly MarkName[],
): RaisedFinding {
  const count = replacements.length;
  const newest = replacements.at(-1);
  const phases = (['A', 'B', 'C'] as const).filter((phase) => newest?.[`phase${phase}`] === true);
  const byFuses = BY_FUSES[phases.length] ?? null;
  const marks: readonly Seen[] = byFuses === null ? beside : [byFuses, ...beside];
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

/** Which fuses were last replaced without a root cause, as a mark; null: none, or not told. */
export function openedFuses({ replacements }: RepeatFuseSlice): MarkName | null {
  const newest = replacements.at(-1);
  if (newest === undefined) return null;
  const { phaseA, phaseB, phaseC } = newest;
  return BY_FUSES[Number(phaseA) + Number(phaseB) + Number(phaseC)] ?? null;
}

/** One fuse suggests phase to ground, two pole to pole, three an arc that spread. */
const BY_FUSES: readonly (MarkName | null)[] = [
  null,
  'one-fuse-opened',
  'two-fuses-opened',
  'three-fuses-opened',
];
