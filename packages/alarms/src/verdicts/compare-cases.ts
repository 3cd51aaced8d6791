import { FINDING_KINDS, type FindingKind } from '@lineside/anomaly';
import type { VerdictWord } from './precision.ts';

/** An alarm of which somebody said whether it was true. */
export interface LabelledCase {
  readonly site: string;
  readonly unit: string;
  readonly kind: FindingKind;
  readonly raisedAtMs: number;
  /** null while it stood. */
  readonly clearedAtMs: number | null;
  readonly verdict: VerdictWord;
  /** As found on site; null when it is not known. */
  readonly cause: string | null;
  /** When the verdict was given. */
  readonly saidAtMs: number;
}

/** An alarm of another judging, as far as cases are compared with it. */
export interface JudgedCase {
  readonly site: string;
  readonly unit: string;
  readonly kind: FindingKind;
  readonly raisedAtMs: number;
  readonly clearedAtMs: number | null;
  /** The most probable cause. */
  readonly cause: string;
}

/** Readings that were judged anew: from the first to the last, both included. */
export interface JudgedSpan {
  readonly fromMs: number;
  readonly toMs: number;
  /** Whether the unit was among them. */
  readonly hasUnit: (site: string, unit: string) => boolean;
}

/** How far an alarm may be from a case and still be the same one. */
export const SAME_CASE_WITHIN_MS: number = 24 * 60 * 60_000;

export interface CaseCounts {
  readonly kind: FindingKind;
  readonly true: number;
  readonly raisedAgain: number;
  /** Of the true cases that were raised again, those whose cause was found on site. */
  readonly causeKnown: number;
  /** Of these, those whose most probable cause is the one that was found. */
  readonly causeNamed: number;
  readonly false: number;
  readonly noLongerRaised: number;
  readonly unclear: number;
  /** Raised at a time, or at a unit, without judged readings: counted nowhere else. */
  readonly outside: number;
}

export interface CaseComparison {
  /** Kinds with cases, in the usual order. */
  readonly counts: readonly CaseCounts[];
  /** True cases that were not raised again. */
  readonly missed: readonly LabelledCase[];
  /** False cases that were raised again. */
  readonly raisedStill: readonly LabelledCase[];
}

/**
 * How another judging, such as a back-test with other detectors, does on alarms of which people know
 * whether they were true. An alarm is the same as a case of its unit and kind when the times during
 * which they stood overlap, or lie within `SAME_CASE_WITHIN_MS`. Of several verdicts of one alarm the
 * newest counts.
 *
 * It says nothing of what was never raised, and so never visited: it is no measure of how much is
 * found.
 */
export function compareCases(
  cases: Iterable<LabelledCase>,
  judged: Iterable<JudgedCase>,
  span: JudgedSpan,
): CaseComparison {
  const byPoint = new Map<string, JudgedCase[]>();
  for (const alarm of judged) {
    const ofPoint = byPoint.get(pointOf(alarm)) ?? [];
    byPoint.set(pointOf(alarm), ofPoint);
    ofPoint.push(alarm);
  }
  const counts = new Map<FindingKind, Counts>();
  const missed: LabelledCase[] = [];
  const raisedStill: LabelledCase[] = [];
  for (const one of newestOf(cases)) {
    const count = counts.get(one.kind) ?? noCounts();
    counts.set(one.kind, count);
    const same = (byPoint.get(pointOf(one)) ?? []).filter((alarm) => isSame(one, alarm));
    addTo(count, one, same, isWithin(one, span));
    if (!isWithin(one, span)) continue;
    if (one.verdict === 'true' && same.length === 0) missed.push(one);
    if (one.verdict === 'false' && same.length > 0) raisedStill.push(one);
  }
  const kinds = FINDING_KINDS.flatMap((kind) => {
    const count = counts.get(kind);
    return count === undefined ? [] : [{ kind, ...count }];
  });
  return { counts: kinds, missed, raisedStill };
}

type Counts = { -readonly [Name in Exclude<keyof CaseCounts, 'kind'>]: number };

function noCounts(): Counts {
  return {
    ...{ true: 0, raisedAgain: 0, causeKnown: 0, causeNamed: 0 },
    ...{ false: 0, noLongerRaised: 0, unclear: 0, outside: 0 },
  };
}

function addTo(
  count: Counts,
  { verdict, cause }: LabelledCase,
  same: readonly JudgedCase[],
  within: boolean,
): void {
  if (!within) {
    count.outside += 1;
    return;
  }
  count[verdict] += 1;
  if (verdict === 'false' && same.length === 0) count.noLongerRaised += 1;
  if (verdict !== 'true' || same.length === 0) return;
  count.raisedAgain += 1;
  if (cause === null) return;
  count.causeKnown += 1;
  if (same.some((alarm) => alarm.cause === cause)) count.causeNamed += 1;
}

/** In the order in which their alarms were first handed in. */
function newestOf(cases: Iterable<LabelledCase>): Iterable<LabelledCase> {
  const newest = new Map<string, LabelledCase>();
  for (const one of cases) {
    const key = `${pointOf(one)} ${one.raisedAtMs}`;
    const known = newest.get(key);
    if (known === undefined || one.saidAtMs >= known.saidAtMs) newest.set(key, one);
  }
  return newest.values();
}

type Place = Pick<LabelledCase, 'site' | 'unit' | 'kind'>;

function pointOf({ site, unit, kind }: Place): string {
  return `${site}/${unit}/${kind}`;
}

function isSame(one: LabelledCase, alarm: JudgedCase): boolean {
  const gapMs = Math.max(one.raisedAtMs, alarm.raisedAtMs) - Math.min(endMs(one), endMs(alarm));
  return gapMs <= SAME_CASE_WITHIN_MS;
}

function endMs({ clearedAtMs }: { readonly clearedAtMs: number | null }): number {
  return clearedAtMs ?? Number.POSITIVE_INFINITY;
}

function isWithin({ site, unit, raisedAtMs }: LabelledCase, span: JudgedSpan): boolean {
  return span.fromMs <= raisedAtMs && raisedAtMs <= span.toMs && span.hasUnit(site, unit);
}
