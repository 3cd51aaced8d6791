import type { Alarm } from '@lineside/alarms';
import type { Cause, CauseEstimate, FindingKind } from '@lineside/anomaly';
import type { FaultTruth, UnitRunTruth } from '@lineside/rooftop';
import {
  GRACE_AFTER_REPAIR_MS,
  TRUE_OF_LOOK_ALIKE,
  VISIT_MS,
  WETTING_SLACK_MS,
} from './explained.ts';
import { CLASS_RULES, classOf, FUSES_OPEN_DO } from './fault-classes.ts';
import { isAtLeast } from './warnings.ts';

/** One judgement of an alarm's cause: that of a priority step, or the newest. */
export interface CauseJudgement {
  readonly kind: FindingKind;
  readonly causes: readonly CauseEstimate[];
  readonly atMs: number;
}

/** What open fuses and a dead unit are called, whatever opened them. */
const FUSES_OPEN_ARE: readonly Cause[] = ['open-fuse', 'disconnect-open-or-fuses-open'];

/** What opened the fuses, where the fault's class names only that they are open. */
const ROOT_CAUSE: Readonly<Record<string, readonly Cause[]>> = {
  'compressor-grounded': ['load-insulation'],
};

/** What names a look-alike; any other is named by saying that it is none of the known causes. */
const NAMES_LOOK_ALIKE: Readonly<Record<string, readonly Cause[]>> = {
  'utility-outage': ['utility-outage'],
  'gateway-loss': ['node-offline'],
};

/**
 * The causes that would be right for a judgement of this kind at this moment. The rules, with their
 * reasons, stand in MATCHING.md; empty: whatever is said first is wrong.
 */
export function rightCauses(
  { kind, atMs }: Pick<CauseJudgement, 'kind' | 'atMs'>,
  alarm: Pick<Alarm, 'priority'>,
  truth: UnitRunTruth,
): ReadonlySet<Cause> {
  const right = new Set<Cause>();
  for (const fault of truth.faults) {
    for (const cause of namesFault(fault, kind, atMs, alarm.priority)) right.add(cause);
  }
  if (kind === 'moisture') {
    for (const { source, startMs, endMs } of truth.wettings) {
      if (atMs >= startMs && atMs <= endMs + WETTING_SLACK_MS) right.add(source);
    }
  }
  const isOff = kind === 'supply-loss' || kind === 'silent' || kind === 'phase-loss';
  if (isOff && truth.visits.some((visit) => Math.abs(atMs - visit.atMs) <= VISIT_MS)) {
    right.add('disconnect-open-or-fuses-open');
  }
  for (const { lookAlike, fromMs, toMs } of truth.lookAlikes) {
    if (atMs < fromMs || atMs > toMs + GRACE_AFTER_REPAIR_MS) continue;
    const says = TRUE_OF_LOOK_ALIKE[lookAlike];
    if (says !== undefined && !says.includes(kind)) continue;
    for (const cause of NAMES_LOOK_ALIKE[lookAlike] ?? ['unknown' as const]) right.add(cause);
  }
  return right;
}

function namesFault(
  fault: FaultTruth,
  kind: FindingKind,
  atMs: number,
  priority: Alarm['priority'],
): readonly Cause[] {
  const { onsetMs, endedMs, failureMs, fusesOpened } = fault;
  const lastMs = endedMs === null ? Infinity : endedMs + GRACE_AFTER_REPAIR_MS;
  const rules = CLASS_RULES[classOf(fault)];
  const blown = fusesOpened.length > 0 && failureMs !== null && atMs >= failureMs;
  // Fuses are replaced, and counted, when what opened them may be repaired already.
  if (kind === 'repeat-fuse') return blown ? (ROOT_CAUSE[fault.fault] ?? rules.causes) : [];
  if (atMs < onsetMs || atMs > lastMs) return [];
  const least = rules.warns[kind];
  const warns = least !== undefined && isAtLeast(priority, least);
  const explains = warns || rules.explains.includes(kind);
  if (blown && FUSES_OPEN_DO.includes(kind)) return [...rules.causes, ...FUSES_OPEN_ARE];
  if (explains) return rules.causes;
  // A sensor that lies makes any alarm: to name it first is right.
  return rules.warnsByCause;
}
