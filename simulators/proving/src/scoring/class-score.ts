import { PRIORITIES, type Priority } from '@lineside/anomaly';
import type { FaultTruth } from '@lineside/rooftop';
import { CLASS_RULES, type ClassRules, classOf, type FaultClass } from './fault-classes.ts';
import { HOUR_MS, type ObservedUnit } from './observed-unit.ts';
import { type Proportion, proportionOf } from './proportion.ts';
import { type Quartiles, quartiles } from './quartiles.ts';
import {
  firstWarning,
  isInTime,
  LEAD_MS,
  namesCause,
  placeSaid,
  type Warning,
} from './warnings.ts';

export type ByPriority<Value> = Readonly<Record<Priority, Value>>;

/** How a judge did on the faults of one class. */
export interface ClassScore {
  readonly faultClass: FaultClass;
  /** All faults of the class that began in the run. */
  readonly cases: number;
  /** Their effect never left the noise of the sensors: not judged. */
  readonly neverObservable: number;
  /** They failed, and no wetting showed them a day before: counted apart, not judged. */
  readonly withoutWettingInTime: number;
  readonly judged: number;
  /** Judged cases that ended in a failure: warned in time. */
  readonly recallBeforeFailure: ByPriority<Proportion>;
  /** Judged cases without a failure in the run (or that ask for none): warned while they lasted. */
  readonly recallWhileThere: ByPriority<Proportion>;
  /** First warning of any priority to failure, h; also late ones count. */
  readonly warningHours: Quartiles | null;
  /** First observable evidence to first warning of any priority, h; below 0: before it. */
  readonly delayHours: Quartiles | null;
  /** Among the cases warned of at that priority. */
  readonly causeRight: ByPriority<Proportion>;
  /** Among the cases warned of, by the warning of the highest priority reached. */
  readonly place: {
    readonly right: Proportion;
    readonly wrong: Proportion;
    readonly uncommitted: Proportion;
  };
}

interface Case {
  readonly fault: FaultTruth;
  readonly unit: ObservedUnit;
  readonly rules: ClassRules;
}

/** Scores the faults of one class over many units. The rules stand in MATCHING.md. */
export function scoreClass(faultClass: FaultClass, units: readonly ObservedUnit[]): ClassScore {
  const rules = CLASS_RULES[faultClass];
  const cases: Case[] = units.flatMap((unit) =>
    unit.truth.faults
      .filter((fault) => fault.onsetMs <= unit.endMs && classOf(fault) === faultClass)
      .map((fault) => ({ fault, unit, rules })),
  );
  const observable = cases.filter(({ fault }) => fault.observableMs !== null);
  const judged = observable.filter((one) => hasWettingInTime(one));
  const failing = judged.filter((one) => isFailing(one));
  const lasting = judged.filter((one) => !isFailing(one));
  const warned = judged.filter((one) => warningOf(one, 'routine') !== null);
  return {
    faultClass,
    cases: cases.length,
    neverObservable: cases.length - observable.length,
    withoutWettingInTime: observable.length - judged.length,
    judged: judged.length,
    recallBeforeFailure: byPriority((priority) => recall(failing, priority)),
    recallWhileThere: byPriority((priority) => recall(lasting, priority)),
    warningHours: quartiles(failing.flatMap((one) => warningHours(one))),
    delayHours: quartiles(judged.flatMap((one) => delayHours(one))),
    causeRight: byPriority((priority) => causeRight(judged, priority)),
    place: placeScore(rules.place === null ? [] : warned),
  };
}

function byPriority<Value>(value: (priority: Priority) => Value): ByPriority<Value> {
  const [routine, urgent, emergency] = PRIORITIES;
  return { routine: value(routine), urgent: value(urgent), emergency: value(emergency) };
}

function isFailing({ fault, rules }: Case): boolean {
  return rules.asks === 'before-failure' && fault.failureMs !== null;
}

/** A failing case is fair only when a wetting showed it as early as the warning is asked for. */
function hasWettingInTime(one: Case): boolean {
  if (!isFailing(one)) return true;
  const { failureMs, observableWettingsMs } = one.fault;
  const latestMs = (failureMs ?? 0) - LEAD_MS.urgent;
  return observableWettingsMs.some((wettingMs) => wettingMs <= latestMs);
}

function warningOf({ fault, rules, unit }: Case, priority: Priority): Warning | null {
  return firstWarning(fault, rules, unit, priority);
}

function recall(cases: readonly Case[], priority: Priority): Proportion {
  return proportionOf(cases, (one) =>
    isInTime(warningOf(one, priority), one.fault, one.rules, priority),
  );
}

function warningHours(one: Case): number[] {
  const warning = warningOf(one, 'routine');
  const { failureMs } = one.fault;
  if (warning === null || failureMs === null) return [];
  return [(failureMs - warning.step.sinceMs) / HOUR_MS];
}

function delayHours(one: Case): number[] {
  const warning = warningOf(one, 'routine');
  const { observableMs } = one.fault;
  if (warning === null || observableMs === null) return [];
  return [(warning.step.sinceMs - observableMs) / HOUR_MS];
}

function causeRight(cases: readonly Case[], priority: Priority): Proportion {
  const warned = cases.flatMap((one) => {
    const warning = warningOf(one, priority);
    return warning === null ? [] : [{ warning, unit: one.unit }];
  });
  return proportionOf(warned, ({ warning, unit }) => namesCause(warning, unit));
}

function placeScore(warned: readonly Case[]): ClassScore['place'] {
  const said = warned.map((one) => lastPlace(one));
  return {
    right: proportionOf(said, (place) => place === 'right'),
    wrong: proportionOf(said, (place) => place === 'wrong'),
    uncommitted: proportionOf(said, (place) => place === 'uncommitted'),
  };
}

/** The place said by the warning at the highest priority that the case reached. */
function lastPlace(one: Case): ReturnType<typeof placeSaid> {
  for (const priority of PRIORITIES.toReversed()) {
    const warning = warningOf(one, priority);
    if (warning !== null) return placeSaid(warning, one.unit);
  }
  return 'uncommitted';
}
