import { FINDING_KINDS, type FindingKind } from '@lineside/anomaly';
import type { Alarm } from '../alarm.ts';
import { isMoreUrgent } from '../priority-steps.ts';

/** While an alarm of kind `by` stands, its unit's alarms of kind `what` are suppressed. */
export interface SuppressionRule {
  readonly by: FindingKind;
  readonly what: FindingKind;
  readonly because: string;
}

/**
 * Suppression by design: which alarm says nothing new while another stands. Common practice in the
 * trade, no source; that it is written down and told is what ANSI/ISA-18.2 asks for.
 *
 * Never in it:
 * - `moisture`, `leakage`, `phase-track`: water and tracks go on without supply, the line side stays
 *   live when fuses are open, and they are what a visit is about;
 * - `repeat-fuse`: it is the reason not to put new fuses in, and it comes with a lost supply;
 * - `supply-loss`: nothing explains it away;
 * - `silent`: a node that is fed from the unit falls silent with it, but so does one that fails, and
 *   then nobody is watching.
 */
export const SUPPRESSION_RULES: readonly SuppressionRule[] = [
  {
    by: 'supply-loss',
    what: 'phase-loss',
    because: 'without supply no phase carries current; one that is missing too says nothing new',
  },
  {
    by: 'supply-loss',
    what: 'unbalance',
    because: 'without supply there is no current or voltage to compare between phases',
  },
  {
    by: 'phase-loss',
    what: 'unbalance',
    because: 'a missing phase is the largest unbalance there is; the visit is the same one',
  },
  {
    by: 'silent',
    what: 'sensor',
    because:
      'what a sensor says cannot be judged until its node reports; the visit is the same one',
  },
];

/**
 * The standing alarm by which this one is suppressed, or null. One of higher priority than the
 * other is never suppressed, nor one that does not stand. Whether people acknowledged or put aside
 * the other has no say: what follows from it follows still.
 *
 * @param ofUnit alarms of the alarm's unit; others are not looked at. The alarm may be among them.
 */
export function suppressedBy(alarm: Alarm, ofUnit: readonly Alarm[]): Alarm | null {
  if (!alarm.standing || alarm.withdrawn) return null;
  for (const { by } of rulesFor(alarm.kind)) {
    const other = ofUnit.find((one) => one.kind === by && mayStandFor(one, alarm));
    if (other !== undefined) return other;
  }
  return null;
}

/** Why a kind is suppressed by another; null where no rule says so. */
export function suppressionReason(by: FindingKind, what: FindingKind): string | null {
  return rulesFor(what).find((rule) => rule.by === by)?.because ?? null;
}

const RULES_BY_KIND: ReadonlyMap<FindingKind, readonly SuppressionRule[]> = new Map(
  FINDING_KINDS.map((kind) => [kind, SUPPRESSION_RULES.filter(({ what }) => what === kind)]),
);

function rulesFor(kind: FindingKind): readonly SuppressionRule[] {
  return RULES_BY_KIND.get(kind) ?? [];
}

function mayStandFor(one: Alarm, alarm: Alarm): boolean {
  const isSameUnit = one.site === alarm.site && one.unit === alarm.unit;
  if (!isSameUnit || !one.standing || one.withdrawn) return false;
  return !isMoreUrgent(alarm.priority, one.priority);
}
